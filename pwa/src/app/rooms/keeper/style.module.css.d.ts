// Written by pwa/internal/build from the style sheet of this name.
export const adding: string;
export const allow: string;
export const bar: string;
export const beneath: string;
export const calib: string;
export const device: string;
export const event: string;
export const household: string;
export const howto: string;
export const limit: string;
export const naming: string;
export const paircode: string;
export const pairlink: string;
export const qr: string;
export const thrown: string;
export const twodigits: string;
