// Written by pwa/internal/build from the style sheet of this name.
export const look: string;
export const ok: string;
export const plain: string;
export const soft: string;
