// Written by pwa/internal/build from the style sheet of this name.
export const glassful: string;
export const noted: string;
