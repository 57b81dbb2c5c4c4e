// Written by pwa/internal/build from the style sheet of this name.
export const linesToSwap: string;
export const pick: string;
export const pickmore: string;
export const picks: string;
export const stack: string;
