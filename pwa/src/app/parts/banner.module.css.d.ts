// Written by pwa/internal/build from the style sheet of this name.
export const banner: string;
export const mind: string;
export const ways: string;
