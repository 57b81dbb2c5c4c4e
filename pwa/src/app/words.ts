import { start } from './words/en/start.ts';

/** What a start of the app says; words-later.ts has the rest. Nothing is worded anywhere else. */
export const words = start;
