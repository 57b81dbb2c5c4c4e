// Written by pwa/internal/build from the style sheet of this name.
export const kept: string;
export const live: string;
export const poured: string;
export const typed: string;
export const typedline: string;
export const typedrow: string;
