import type { ComparisonAnswer, Effect, Finding } from '../../../shared/core.ts';

type Swap = ComparisonAnswer['swaps'][number];

/** How the pairings lie on the page: which swap goes down, which across, and what stands in the others. */
export interface View {
  down: number;
  across: number;
  /** The pick of each swap; those that go down and across are passed over. */
  fixed: readonly string[];
}

/** What a pairing's picks say of one swap when this stands in it. */
export const pickOf = (swap: Pick<Swap, 'id' | 'addition'>, effect: Effect): string =>
  `${swap.id} ${!swap.addition ? effect.ingredient : effect.benchmark ? swap.id : effect.candidate}`;

/** The two with the most to choose from, the longer one down; the rest as in the benchmark. */
export function firstView(swaps: readonly Swap[]): View {
  const [down = 0, across = 1] = swaps
    .map((swap, i) => ({ i, n: swap.effects.length }))
    .sort((a, b) => b.n - a.n || a.i - b.i)
    .map(({ i }) => i);
  const fixed = swaps.map((swap) => {
    const own = swap.effects.find(({ benchmark }) => benchmark);
    return own ? pickOf(swap, own) : '';
  });
  return { down, across, fixed };
}

/** Another swap goes down or across; where it stood already, the two change places. */
export function turned(view: View, way: 'down' | 'across', swap: number): View {
  const other = way === 'down' ? 'across' : 'down';
  return view[other] === swap ? { ...view, [way]: swap, [other]: view[way] } : { ...view, [way]: swap };
}

export interface Grid {
  down: Swap;
  across: Swap;
  columns: Effect[];
  rows: { of: Effect; cells: (Finding | undefined)[] }[];
}

/** The findings by row and column; what the core did not look at is undefined. One swap has no grid. */
export function gridOf(answer: Pick<ComparisonAnswer, 'swaps' | 'findings'>, view: View): Grid | null {
  const down = answer.swaps[view.down];
  const across = answer.swaps[view.across];
  if (!down || !across || down === across) return null;
  const by = new Map(answer.findings.map((it) => [it.picks, it]));
  const at = (row: Effect, column: Effect) =>
    by.get(
      answer.swaps
        .map((swap, i) =>
          swap === down ? pickOf(swap, row) : swap === across ? pickOf(swap, column) : (view.fixed[i] ?? ''),
        )
        .join('\n'),
    );
  return {
    down,
    across,
    columns: across.effects,
    rows: down.effects.map((of) => ({ of, cells: across.effects.map((column) => at(of, column)) })),
  };
}

/** Its first rows and columns: the benchmark's own and, since the core has them in that order, what adds most. */
export const cut = (grid: Grid, most: number): Grid => ({
  ...grid,
  columns: grid.columns.slice(0, most),
  rows: grid.rows.slice(0, most).map(({ of, cells }) => ({ of, cells: cells.slice(0, most) })),
});
