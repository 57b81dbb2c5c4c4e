// Written by pwa/internal/build from the style sheet of this name.
export const day: string;
export const past: string;
export const session: string;
