// Written by pwa/internal/build from the style sheet of this name.
export const besides: string;
export const changes: string;
export const choice: string;
export const chosen: string;
export const glasses: string;
export const judged: string;
export const lineof: string;
export const pair: string;
export const twosides: string;
export const wideframe: string;
