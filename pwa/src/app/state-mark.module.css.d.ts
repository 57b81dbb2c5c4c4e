// Written by pwa/internal/build from the style sheet of this name.
export const counted: string;
export const mFill: string;
export const mLine: string;
export const state: string;
