// Written by pwa/internal/build from the style sheet of this name.
export const amt: string;
export const line: string;
export const lines: string;
export const under: string;
