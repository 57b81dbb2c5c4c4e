// Written by pwa/internal/build from the style sheet of this name.
export const all: string;
export const flown: string;
export const glass: string;
export const howfar: string;
export const inturn: string;
export const meanwhile: string;
export const others: string;
export const outcome: string;
export const pourSheet: string;
export const rated: string;
export const rest: string;
export const water: string;
