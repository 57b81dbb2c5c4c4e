// Written by pwa/internal/build from the style sheet of this name.
export const above: string;
export const at: string;
export const bare: string;
export const stretched: string;
