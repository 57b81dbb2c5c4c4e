import { later as all } from './words/en/later.ts';

/** What no start of the app shows: it is loaded with the first room that says it. */
export const later = all;
