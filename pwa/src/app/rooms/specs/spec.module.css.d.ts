// Written by pwa/internal/build from the style sheet of this name.
export const d1: string;
export const d2: string;
export const d3: string;
export const how: string;
export const inplace: string;
export const tree: string;
