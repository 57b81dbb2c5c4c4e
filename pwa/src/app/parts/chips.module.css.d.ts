// Written by pwa/internal/build from the style sheet of this name.
export const below: string;
export const chip: string;
export const chips: string;
