// Written by pwa/internal/build from the style sheet of this name.
export const has: string;
export const pace: string;
export const press: string;
export const small: string;
