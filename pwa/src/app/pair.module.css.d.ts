// Written by pwa/internal/build from the style sheet of this name.
export const carried: string;
export const code: string;
export const pairing: string;
export const steps: string;
