import { readdirSync } from 'node:fs';
import { expect, it, vi } from 'vitest';
import { Format } from '../locale.ts';
import { chosen, fetchLater, format, type Language, later, speak, words } from '../words.ts';
import { later as englishLater } from './en/later.ts';
import { start } from './en/start.ts';
import type { LaterWords, Shape, Words } from './shape.ts';

/** Of the shape of some English words: a text, several of one kind, a choice, a list, and one that depends on a number. */
const small = {
  yes: 'Yes',
  pours: (n: number) => (n === 1 ? 'one pour' : `${n} pours`),
  sort: { batch: 'batch', syrup: 'syrup' },
  shares: [[10000, 'all']] as readonly (readonly [number, string])[],
  why: (code: string | null) => ({ what: `because ${code}`, then: 'wait' }),
};

it('has the shape of the English words, and not their texts', () => {
  const german: Shape<typeof small> = {
    yes: 'Ja',
    pours: (n) => (n === 1 ? 'ein Glas' : `${n} Gläser`),
    sort: { batch: 'Ansatz', syrup: 'Sirup' },
    shares: [[10000, 'alles']],
    why: (code) => ({ what: `wegen ${code}`, then: 'warten' }),
  };
  // @ts-expect-error a word is missing
  const short: Shape<typeof small>['sort'] = { batch: 'Ansatz' };
  // @ts-expect-error a number is no text
  const wrong: Shape<typeof small>['yes'] = 1;
  // @ts-expect-error it is asked with something else
  const other: Shape<typeof small>['pours'] = (n: Date) => `${n}`;
  expect([german.pours(1), short, wrong, other]).toHaveLength(4);
});

it('no two modules have a word for the same place', async () => {
  for (const [half, all] of [
    ['start', start],
    ['later', englishLater],
  ] as const) {
    const folder = new URL(`./en/${half}/`, import.meta.url);
    const modules = await Promise.all(
      readdirSync(folder).map((name) => import(/* @vite-ignore */ folder.pathname + name)),
    );
    const keys = modules.flatMap((it) => Object.values(it as object)).flatMap((it) => Object.keys(it as object));
    expect(keys.sort()).toEqual(Object.keys(all).sort());
  }
});

const other = (tag: string, more: Partial<Language> = {}): Language => ({
  tag,
  start: async (): Promise<Words> => ({ ...start, undo: `undo in ${tag}` }),
  later: async (): Promise<LaterWords> => ({ ...englishLater, otherwise: { ...englishLater.otherwise, now: tag } }),
  ...more,
});

it('the first language of the device that there are words in is spoken, else English', () => {
  const there = new Map([
    ['de', other('de-DE')],
    ['pt', other('pt')],
  ]);
  expect(
    [['de-AT', 'pt'], ['fr', 'pt-BR', 'de'], ['PT_br'], ['fr'], [], ['C'], ['']].map(
      (asked) => chosen(asked, there).tag,
    ),
  ).toEqual(['de-DE', 'pt', 'pt', 'en', 'en', 'en', 'en']);
});

it('another language takes the place of all words, and the one before stays while it cannot be fetched', async () => {
  await speak(other('de'));
  await fetchLater();
  expect([words.undo, later.otherwise.now, format.language]).toEqual(['undo in de', 'de', 'de']);
  await speak(other('pt', { start: async () => Promise.reject(new Error('no signal')) }));
  expect([words.undo, format.language]).toEqual(['undo in de', 'de']);
});

it('asks again for the words of the rooms when they could not be fetched', async () => {
  const fetch = vi.fn<Language['later']>().mockRejectedValueOnce(new Error('no signal'));
  fetch.mockImplementation(other('pt').later);
  await speak(other('pt', { later: fetch }));
  await expect(fetchLater()).rejects.toThrow('no signal');
  await Promise.all([fetchLater(), fetchLater()]);
  expect([later.otherwise.now, fetch.mock.calls.length]).toEqual(['pt', 2]);
});

it('sets plurals, lists and countries by the words, numbers by the reader', () => {
  const polish = new Format('pl', () => 'de');
  const forms = { one: 'kieliszek', few: 'kieliszki', many: 'kieliszków', other: 'kieliszka' };
  expect([1, 3, 5, 1.5].map((n) => polish.plural(n, forms))).toEqual(Object.values(forms));
  expect(polish.plural(3, { other: 'g' })).toBe('g');
  expect([polish.list(['gin', 'rum']), polish.list([]), polish.region('DE'), polish.region('?')]).toEqual([
    'gin i rum',
    '',
    'Niemcy',
    undefined,
  ]);
  expect([polish.number(1234.5, {}), polish.digits('JPY'), polish.digits('EUR')]).toEqual(['1.234,5', 0, 2]);
});
