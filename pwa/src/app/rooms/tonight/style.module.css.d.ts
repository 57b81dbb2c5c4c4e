// Written by pwa/internal/build from the style sheet of this name.
export const evening: string;
export const gap: string;
export const long: string;
export const mark: string;
export const pre: string;
export const quick: string;
export const rail: string;
export const total: string;
