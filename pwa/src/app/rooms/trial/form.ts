import type { ComparisonAnswer, Id, SpecView } from '../../../shared/core.ts';

/** Trials of two pairings that are under way, kept on the device: a reload stands before the same glasses. */
export interface Trials {
  sort: Sort;
  a: string;
  b: string;
  /** Millilitres of each glass, and the share of it that is drunk in ten-thousandths. */
  ml: number;
  share: number;
  seed: string;
  /** The trials made, with the pour that each put on record. */
  made: readonly { trial: string; pour: string }[];
  /** The next trial's. */
  ids: { trial: string; pour: string };
  /** The glasses stand before the taster. */
  poured: boolean;
  /** Still being chosen. */
  begun: boolean;
}

export const sorts = ['paired', 'triangle', 'preferred'] as const;
export type Sort = (typeof sorts)[number];
export const sizes = ['10', '15', '20', '30'] as const;
export const shares = [10_000, 5000, 2500] as const;

export const glassesOf = (sort: Sort): number => (sort === 'triangle' ? 3 : 2);

const isIds = (it: unknown): it is Trials['ids'] =>
  typeof it === 'object' &&
  it !== null &&
  'trial' in it &&
  'pour' in it &&
  typeof it.trial === 'string' &&
  typeof it.pour === 'string';

export function kept(it: unknown): Trials | null {
  if (typeof it !== 'object' || it === null) return null;
  const { sort, a, b, ml, share, seed, made, ids, poured, begun } = it as Partial<Trials>;
  if (!sorts.some((known) => known === sort) || !isIds(ids) || !Array.isArray(made) || !made.every(isIds)) return null;
  if (typeof a !== 'string' || typeof b !== 'string' || typeof seed !== 'string' || !/^\d{1,20}$/.test(seed))
    return null;
  if (typeof ml !== 'number' || typeof share !== 'number' || typeof poured !== 'boolean' || typeof begun !== 'boolean')
    return null;
  return { sort: sort as Sort, a, b, ml, share, seed, made, ids, poured, begun };
}

type Swap = ComparisonAnswer['swaps'][number];

/** What stands for a candidate in the text of a pairing. */
export const pickOf = (swap: Swap, effect: Swap['effects'][number]): string =>
  swap.addition ? (effect.benchmark ? swap.id : effect.candidate) : effect.ingredient;

/** The text of a pairing, by one pick for each swap. */
export const picksOf = (swaps: readonly Swap[], picks: readonly string[]): string =>
  swaps.map((swap, i) => `${swap.id} ${picks[i] ?? ''}`).join('\n');

/** The picks of such a text, the benchmark's own where it names none. */
export function picksIn(swaps: readonly Swap[], text: string): string[] {
  const by = new Map(text.split('\n').map((row) => [row.slice(0, row.indexOf(' ')), row.slice(row.indexOf(' ') + 1)]));
  return swaps.map((swap) => {
    const own = swap.effects.find(({ benchmark }) => benchmark);
    const pick = by.get(swap.id);
    const known = swap.effects.some((effect) => pickOf(swap, effect) === pick);
    return known && pick !== undefined ? pick : own ? pickOf(swap, own) : '';
  });
}

/** The names of a pairing, swap by swap; '' where nothing is added. */
export const namesIn = (swaps: readonly Swap[], text: string): string[] =>
  picksIn(swaps, text).map(
    (pick, i) => swaps[i]?.effects.find((effect) => pickOf(swaps[i] as Swap, effect) === pick)?.name ?? '',
  );

/** To begin with: the benchmark, and the best that was tasted beside it. */
export function firstTwo({ swaps, findings }: ComparisonAnswer): { a: string; b: string } {
  const a = picksOf(swaps, picksIn(swaps, ''));
  const best = findings.find((it) => !it.benchmark && it.tasted > 0) ?? findings.find((it) => !it.benchmark);
  return { a, b: best ? picksOf(swaps, picksIn(swaps, best.picks)) : a };
}

/** The glasses of one trial in one sum: how much was drunk, and how strong it is; null when that is not known. */
export function drunkOf(
  glasses: readonly { ml: number; abv_percent: number | null }[],
  share: number,
): { vol_ul: number; abv_bp: number | null } {
  const all = glasses.reduce((sum, it) => sum + it.ml, 0);
  const pure = glasses.reduce<number | null>(
    (sum, it) => (sum === null || it.abv_percent === null ? null : sum + it.ml * it.abv_percent),
    0,
  );
  return {
    vol_ul: Math.round((all * 1000 * share) / 10_000),
    abv_bp: pure === null || all === 0 ? null : Math.round((pure / all) * 100),
  };
}

/** What goes into so many millilitres of a finished glass; `ml` null where a line has no amount to be scaled. */
export interface Amount {
  name: string;
  ml: number | null;
}

/**
 * A glass made small. `view` is the pairing's own spec when it was made before; else the benchmark's, and `picks` say what
 * stands in its swapped lines and what is put to it.
 */
export function amountsOf(
  view: Pick<SpecView, 'lines'> & { balance: { after: { volume_ml: { v: number | null } } } },
  swaps: readonly Swap[],
  picks: string | null,
  ml: number,
): Amount[] {
  const whole = view.balance.after.volume_ml.v;
  const scale = whole === null || whole <= 0 ? null : ml / whole;
  const small = (it: number | null) => (it === null || scale === null ? null : it * scale);
  const names = picks === null ? [] : namesIn(swaps, picks);
  const standing = new Map<Id, string>();
  const added: Amount[] = [];
  swaps.forEach((swap, i) => {
    const name = names[i];
    if (name === undefined || name === '') return;
    const own = swap.effects.find(({ benchmark }) => benchmark);
    if (swap.addition) added.push({ name, ml: null });
    else if (own) standing.set(own.ingredient, name);
  });
  return [
    ...view.lines.map((line) => ({
      name: (line.ingredient !== null && standing.get(line.ingredient)) || line.name,
      ml: small(line.volume_ml),
    })),
    ...added,
  ];
}
