// Written by pwa/internal/build from the style sheet of this name.
export const bal: string;
export const lab: string;
export const of: string;
export const unit: string;
export const value: string;
export const verdict: string;
