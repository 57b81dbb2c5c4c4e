// Written by pwa/internal/build from the style sheet of this name.
export const bottle: string;
export const stands: string;
