// Written by pwa/internal/build from the style sheet of this name.
export const area: string;
export const bBar: string;
export const bBase: string;
export const bCut: string;
export const bLine: string;
