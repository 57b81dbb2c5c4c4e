import type {
  Balance,
  BalanceKey,
  DifferenceAnswer,
  Id,
  Intent,
  SpecView,
  WayLine,
  WaysAnswer,
} from '../../../shared/core.ts';

/** The figures that are set beside each other. Ice melt follows from them and stands on the spec's own page. */
export const shown = [
  'abv_percent',
  'sugar_g_per_100ml',
  'acid_percent',
  'volume_ml',
] as const satisfies readonly BalanceKey[];

/** The riff with these lines; everything else is as in its parent. It has no name and no note of its own yet. */
export function riffOf(view: SpecView, id: Id, lines: readonly WayLine[]): Intent {
  const intent: Extract<Intent, { do: 'spec' }> = {
    do: 'spec',
    id,
    parent: view.id,
    lines: [...lines],
    name: '',
    method: view.method,
    ice: view.ice,
    glass: view.glass,
    garnish: view.garnish,
    strain: view.strain,
  };
  if (view.drink) intent.drink = view.drink;
  if (view.part_ul !== null) intent.part_ul = view.part_ul;
  if (view.total_ul !== null) intent.total_ul = view.total_ul;
  return intent;
}

export type Choice = WaysAnswer['choices'][number];

/** So many choices are read through; of more, some are looked for. */
export const few = 12;

/** What a spec is first held against: its parent, else the benchmark, else any other; null when it is the only one. */
export function otherOf(view: SpecView): Id | null {
  const rest = view.tree.map(({ row }) => row).filter((row) => row.id !== view.id);
  const parent = rest.find((row) => row.id === view.parent);
  return (parent ?? rest.find((row) => row.benchmark) ?? rest[0])?.id ?? null;
}

type Row = DifferenceAnswer['rows'][number];

/** A typed line without the name that stands at the head of its row; a line of another name stays whole. */
export function amountIn(row: Row, side: 'a' | 'b'): string {
  const typed = row[side].trim();
  if (!typed.toLowerCase().endsWith(row.name.toLowerCase())) return typed;
  const amount = typed.slice(0, typed.length - row.name.length).trim();
  return amount === '' ? typed : amount;
}

/** The codes of what cannot be said of a glass. */
const unknowns: readonly string[] = ['strength_unknown', 'sugar_unknown', 'acid_unknown'];

export const unknownIn = (balance: Balance) => balance.remarks.filter((remark) => unknowns.includes(remark.code));

/** The figures that move from one glass to the other, as they are shown, and those that become or cease to be known. */
export const moved = (a: Balance, b: Balance): (typeof shown)[number][] =>
  shown.filter((key) => a.after[key].v !== b.after[key].v || a.verdict[key] !== b.verdict[key]);
