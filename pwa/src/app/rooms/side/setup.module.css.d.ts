// Written by pwa/internal/build from the style sheet of this name.
export const count: string;
export const morecandidates: string;
export const setup: string;
export const setupWhat: string;
export const setupWhich: string;
export const setupWorth: string;
export const thereabouts: string;
export const ticks: string;
export const warned: string;
