// Written by pwa/internal/build from the style sheet of this name.
export const asked: string;
export const beyond: string;
export const chooser: string;
export const fitting: string;
export const hand: string;
export const links: string;
export const seat: string;
export const strength: string;
export const sums: string;
export const typein: string;
