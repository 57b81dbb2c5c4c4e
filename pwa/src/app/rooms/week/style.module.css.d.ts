// Written by pwa/internal/build from the style sheet of this name.
export const by: string;
export const byday: string;
export const charts: string;
export const days: string;
export const fromto: string;
export const guides: string;
export const helping: string;
export const marking: string;
export const own: string;
export const standing: string;
export const two: string;
export const weeks: string;
export const wordy: string;
export const wraps: string;
