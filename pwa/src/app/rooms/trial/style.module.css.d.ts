// Written by pwa/internal/build from the style sheet of this name.
export const ballot: string;
export const ballots: string;
export const oneof: string;
