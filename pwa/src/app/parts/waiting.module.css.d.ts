// Written by pwa/internal/build from the style sheet of this name.
export const a: string;
export const b: string;
export const c: string;
export const skel: string;
