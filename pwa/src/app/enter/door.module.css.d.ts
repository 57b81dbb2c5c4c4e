// Written by pwa/internal/build from the style sheet of this name.
export const asking: string;
export const door: string;
export const doorways: string;
export const going: string;
export const secret: string;
