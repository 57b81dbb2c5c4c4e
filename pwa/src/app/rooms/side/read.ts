import type { ComparisonAnswer, ComparisonsAnswer, Id, Intent } from '../../../shared/core.ts';
import { later } from '../../words.ts';

/** What is typed to begin comparing, or to add to it, as it is kept while it is being filled in. */
export interface Form {
  base: Id;
  lines: Id[];
  /** By line, or by swap: names typed or pasted, one a line. */
  names: Record<Id, string>;
  /** By line, or by swap: ingredients of bottles that were ticked. */
  shelf: Record<Id, Id[]>;
  /** Pairings typed or pasted, one a line: a name for each line that is ticked, with a plus sign between. */
  pairings: string;
  /** Something may be put to it: typed lines, one a line. */
  touching: boolean;
  touches: string;
  anchor_x10: number | null;
  name: string;
}

export const blank = (base = ''): Form => ({
  base,
  lines: [],
  names: {},
  shelf: {},
  pairings: '',
  touching: false,
  touches: '',
  anchor_x10: null,
  name: '',
});

/** Lines, and what may be put to the drink, together. */
export const mostSwaps = 4;
/** Of pairings that a flight can be planned among. */
const mostPairings = 2500;
const mostCandidates = 60;

const isTexts = (it: unknown): it is Record<Id, string> =>
  typeof it === 'object' && it !== null && Object.values(it).every((one) => typeof one === 'string');
const isLists = (it: unknown): it is Record<Id, Id[]> =>
  typeof it === 'object' && it !== null && Object.values(it).every((one) => Array.isArray(one));

/** What lay on the disk, when it is such a form; what it does not have yet is empty. */
export function kept(value: unknown): Form | null {
  if (typeof value !== 'object' || value === null) return null;
  const it = { ...blank(), ...(value as Partial<Record<keyof Form, unknown>>) };
  const texts = [it.base, it.pairings, it.touches, it.name].every((one) => typeof one === 'string');
  if (!texts || !Array.isArray(it.lines) || !isTexts(it.names) || !isLists(it.shelf)) return null;
  if (typeof it.touching !== 'boolean' || (it.anchor_x10 !== null && typeof it.anchor_x10 !== 'number')) return null;
  return it as Form;
}

/** What stands in the lines of a text, with the number of its line; without bullets and numbers before it. */
export function rowsOf(text: string): { no: number; text: string }[] {
  return text
    .split(/\r?\n/)
    .map((row, i) => ({
      no: i + 1,
      text: row
        .replace(/^\s*(?:[-*•–]|\d{1,2}[.)])\s+/, '')
        .replace(/\s+/g, ' ')
        .trim(),
    }))
    .filter((row) => row.text !== '');
}

const key = (name: string): string => name.toLowerCase();

/** Names one a line, each once, however it is written. */
export function namesOf(text: string): string[] {
  const names = new Map<string, string>();
  for (const row of rowsOf(text)) if (!names.has(key(row.text))) names.set(key(row.text), row.text);
  return [...names.values()];
}

/** The names of each column of pasted pairings, and the rows that have not as many parts as there are columns. */
export function pairingsOf(
  text: string,
  columns: number,
): { columns: string[][]; bad: { no: number; text: string; parts: number }[] } {
  const lists: string[][] = Array.from({ length: columns }, () => []);
  const bad: { no: number; text: string; parts: number }[] = [];
  for (const { no, text: row } of rowsOf(text)) {
    const parts = row.split(/(?:^|\s+)\+(?:\s+|$)/);
    if (parts.length !== columns || parts.includes(''))
      bad.push({ no, text: row, parts: parts.filter(Boolean).length });
    else parts.forEach((part, i) => lists[i]?.push(part));
  }
  return { columns: lists.map((list) => namesOf(list.join('\n'))), bad };
}

/** What is wrong with pasted pairings, by the first row that does not fit; '' when all do. */
export function pairingFault(text: string, names: readonly string[]): string {
  const first = pairingsOf(text, names.length).bad[0];
  return first ? later.comparing.badPairing(first.no, first.text, first.parts, names.join(' + ')) : '';
}

/** Where candidates go: a line of the base, or a swap of a comparison. */
export interface Place {
  id: Id;
  /** What the benchmark has there. */
  own: string;
  /** Names of what is there already; of what is there and benched. */
  there: readonly string[];
  benched: readonly string[];
}

type Candidate = { ingredient: Id } | { name: string };

/** What a form puts into a place: ticked, named and pasted ones, each once and none that is there. `called`: names of the ticked. */
function candidatesOf(
  form: Pick<Form, 'names' | 'shelf'>,
  place: Place,
  pasted: readonly string[],
  called: ReadonlyMap<Id, string>,
): Candidate[] {
  const ticked = form.shelf[place.id] ?? [];
  const taken = new Set([place.own, ...place.there, ...ticked.map((it) => called.get(it) ?? '')].map(key));
  return [
    ...ticked.map((ingredient) => ({ ingredient })),
    ...strongest(namesOf([form.names[place.id] ?? '', ...pasted].join('\n')))
      .filter((name) => !taken.has(key(name)))
      .map((name) => ({ name })),
  ];
}

const strength = /[\s,]+\(?\d+(?:[.,]\d+)?\s*%(?:\s*vol\.?)?\)?$/i;
const bare = (name: string): string => key(name.replace(strength, ''));

/** Of a name with a strength and without one, the one that says more: they are the same thing. */
function strongest(names: readonly string[]): string[] {
  const known = new Set(names.filter((name) => strength.test(name)).map(bare));
  return names.filter((name) => strength.test(name) || !known.has(key(name)));
}

type Drink = ComparisonsAnswer['drinks'][number];

/** The lines of a drink that are ticked, as places for candidates, in the order of the spec. */
export const placesIn = (form: Form, drink: Drink): Place[] =>
  drink.lines
    .filter(({ line }) => form.lines.includes(line))
    .map(({ line, name }) => ({ id: line, own: name, there: [], benched: [] }));

/** What may be put to the drink, each line once; none when that is not ticked. */
const touchesIn = (form: Form): string[] => (form.touching ? namesOf(form.touches) : []);

/** The candidates of each place, with those of pasted pairings. */
export function allOf(form: Form, places: readonly Place[], called: ReadonlyMap<Id, string>): Candidate[][] {
  const { columns } = pairingsOf(form.pairings, places.length);
  return places.map((place, i) => candidatesOf(form, place, columns[i] ?? [], called));
}

/** How many there are to choose between in each line, the benchmark's own and nothing added counted. */
export const countsIn = (form: Form, places: readonly Place[], called: ReadonlyMap<Id, string>): number[] => [
  ...allOf(form, places, called).map((list) => 1 + list.length),
  ...(form.touching ? [1 + touchesIn(form).length] : []),
];

export const product = (counts: readonly number[]): number => counts.reduce((n, it) => n * it, 1);

/** What is wrong with a form, each beside what it is about. */
export interface Faults {
  lines?: string;
  touches?: string;
  pairings?: string;
  candidates?: string;
}

export function faultsOf(form: Form, drink: Drink, called: ReadonlyMap<Id, string>): Faults {
  const places = placesIn(form, drink);
  const found: Faults = {};
  if (places.length === 0 && !form.touching) return { lines: later.comparing.needLine };
  if (form.touching && touchesIn(form).length === 0) found.touches = later.comparing.needTouch;
  const wrong = pairingFault(
    form.pairings,
    places.map(({ own }) => own),
  );
  if (places.length > 1 && wrong !== '') found.pairings = wrong;
  const counts = countsIn(form, places, called);
  const n = allOf(form, places, called).reduce((sum, list) => sum + list.length, 0);
  if (n > mostCandidates) found.candidates = later.comparing.tooMany(mostCandidates, n);
  else if (product(counts) > mostPairings) found.candidates = later.comparing.tooManyPairings(product(counts));
  else if (product(counts) < 2 && !found.touches && !found.pairings)
    found.candidates = later.comparing.needCandidate(places.map(({ own }) => own));
  return found;
}

/** The intent a form asks for. Lines go in the order of the spec. */
export function compareOf(form: Form, drink: Drink, id: Id, called: ReadonlyMap<Id, string> = new Map()): Intent {
  const places = placesIn(form, drink);
  const lists = allOf(form, places, called);
  const name = form.name.trim();
  const touches = touchesIn(form);
  return {
    do: 'compare',
    id,
    base: drink.base,
    lines: places.map((place) => place.id),
    ...(name === '' ? {} : { name }),
    candidates: places.flatMap((place, i) => (lists[i] ?? []).map((it) => ({ line: place.id, ...it }))),
    ...(touches.length === 0 ? {} : { touches }),
  };
}

/** The ticked lines with one ticked or taken out, in the order of the spec. */
export function ticked(lines: readonly Id[], all: readonly Id[], line: Id): Id[] {
  return lines.includes(line)
    ? lines.filter((it) => it !== line)
    : all.filter((it) => it === line || lines.includes(it));
}

type Swap = ComparisonAnswer['swaps'][number];

/** A swapped line of a comparison, as a place for more candidates; what is benched may be named again and comes back. */
export function placeOf(swap: Swap): Place {
  const names = (benched: boolean) => swap.effects.filter((it) => it.benched === benched).map(({ name }) => name);
  const own = swap.effects.find((it) => it.benchmark)?.name ?? '';
  return { id: swap.id, own, there: names(false), benched: names(true) };
}

/** What a form adds to a comparison: one intent for each candidate, in the order of its swaps. */
export function addingOf(
  form: Form,
  swaps: readonly Swap[],
  mint: () => Id,
  called: ReadonlyMap<Id, string>,
): Extract<Intent, { do: 'candidate' }>[] {
  const places = swaps.filter((it) => !it.addition).map(placeOf);
  const lists = allOf(form, places, called);
  const addition = swaps.find((it) => it.addition);
  const there = new Set(addition?.effects.filter((it) => !it.benched).map(({ name }) => key(name)));
  return [
    ...places.flatMap(({ id }, i) =>
      (lists[i] ?? []).map((it) => ({ do: 'candidate' as const, id: mint(), swap: id, ...it })),
    ),
    ...(addition
      ? namesOf(form.touches)
          .filter((text) => !there.has(key(text)))
          .map((text) => ({ do: 'candidate' as const, id: mint(), swap: addition.id, text }))
      : []),
  ];
}
