// Written by pwa/internal/build from the style sheet of this name.
export const alarm: string;
export const amount: string;
export const coded: string;
export const codes: string;
export const told: string;
