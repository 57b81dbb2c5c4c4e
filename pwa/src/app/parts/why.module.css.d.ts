// Written by pwa/internal/build from the style sheet of this name.
export const sum: string;
export const unruled: string;
export const why: string;
