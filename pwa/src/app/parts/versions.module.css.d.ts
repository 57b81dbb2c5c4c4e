// Written by pwa/internal/build from the style sheet of this name.
export const clear: string;
export const version: string;
export const versions: string;
