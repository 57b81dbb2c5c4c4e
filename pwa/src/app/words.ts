import { Format, readerOf } from './locale.ts';
import { start } from './words/en/start.ts';
import type { LaterWords, Words } from './words/shape.ts';

/** A language the app can speak. English comes with the start, any other is fetched before the first picture. */
export interface Language {
  /** For lists, plurals and names of countries, and for the page to say. */
  tag: string;
  start: () => Promise<Words>;
  later: () => Promise<LaterWords>;
}

const english: Language = {
  tag: 'en',
  start: async () => start,
  later: async () => (await import('./words/en/later.ts')).later,
};

/** By the first part of its tag. A further language is one more row here. */
const languages: ReadonlyMap<string, Language> = new Map([['en', english]]);

/**
 * What a start of the app says, in the language that is spoken; nothing is worded anywhere else. It is read when something is
 * drawn and kept nowhere, so that another language can take its place.
 */
export let words: Words = start;

/** What no start shows. It is here once `fetchLater` has ended; every room waits for it. */
export let later: LaterWords;

export let format = new Format(english.tag, readerOf);

let spoken = english;
let fetching: Promise<void> | null = null;

/** The first language of the device that the app speaks. */
export function chosen(asked: readonly string[], spoken: ReadonlyMap<string, Language> = languages): Language {
  for (const tag of asked) {
    const found = spoken.get(tag.toLowerCase().split(/[-_]/)[0] ?? '');
    if (found) return found;
  }
  return english;
}

/** From here on everything is said in this language; when it cannot be fetched, in the one before. */
export async function speak(language: Language, reader = readerOf): Promise<void> {
  try {
    words = await language.start();
  } catch {
    return;
  }
  spoken = language;
  fetching = null;
  format = new Format(language.tag, reader);
}

/** The words of the rooms, fetched once. */
export function fetchLater(): Promise<void> {
  fetching ??= spoken.later().then(
    (found) => void (later = found),
    (error: unknown) => {
      fetching = null; // asked again with the next room
      throw error;
    },
  );
  return fetching;
}
