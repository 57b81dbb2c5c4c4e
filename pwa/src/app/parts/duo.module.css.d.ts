// Written by pwa/internal/build from the style sheet of this name.
export const duo: string;
export const list: string;
export const listed: string;
