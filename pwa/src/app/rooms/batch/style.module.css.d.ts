// Written by pwa/internal/build from the style sheet of this name.
export const batchlines: string;
export const batchsize: string;
export const fine: string;
export const printed: string;
export const sheetOf: string;
export const taste: string;
export const whole: string;
