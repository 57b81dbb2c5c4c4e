// Written by pwa/internal/build from the style sheet of this name.
export const pairbtn: string;
export const shown: string;
export const v1: string;
export const v2: string;
export const val: string;
export const vals: string;
export const wide: string;
