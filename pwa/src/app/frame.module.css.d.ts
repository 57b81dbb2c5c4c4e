// Written by pwa/internal/build from the style sheet of this name.
export const act: string;
export const app: string;
export const corner: string;
export const foot: string;
export const head: string;
export const notices: string;
export const page: string;
export const product: string;
export const rooms: string;
export const side: string;
export const toKeeper: string;
