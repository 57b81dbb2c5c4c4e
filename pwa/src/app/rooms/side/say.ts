import type { ComparisonAnswer, Effect, Finding } from '../../../shared/core.ts';
import { decimal, score } from '../../format.ts';
import { named, signed } from '../../parts/pairing.ts';
import { later } from '../../words.ts';

type Trial = ComparisonAnswer['trials'][number];
type Say = ComparisonAnswer['say'][number];

export const between = (lo: number, hi: number): string => later.compared.between(signed(lo), signed(hi));

export const nameOf = (effect: Pick<Effect, 'name'>): string => effect.name || later.compared.nothing;

/** What the data says, a sentence a code; `before` is the code said just before. */
export function sentence(say: Say, before?: Say['code']): string {
  const { code, names, d, lo, hi } = say;
  if (code === 'ask_anchor')
    return d === null ? later.compared.atTop : later.compared.farOff(decimal(Math.abs(d), 1), d > 0);
  if (code === 'needs_more' && before === 'ahead') return later.compared.onceMore;
  const who = names.length > 0 ? named(names) : '';
  if (d === null || lo === null || hi === null) return later.compared.say(code, who, '');
  if (code === 'needs_more') return later.compared.bestSoFar(who, signed(d), between(lo, hi));
  return later.compared.say(code, who, later.compared.by(decimal(Math.abs(d), 1), decimal(lo, 1), decimal(hi, 1)));
}

/** Tasted, predicted or untasted: a word, and a mark of another shape. */
export const stateOf = (finding: Finding): 'tasted' | 'predicted' | 'untasted' =>
  finding.tasted > 0 || finding.benchmark ? 'tasted' : finding.d !== null ? 'predicted' : 'untasted';

/** From here on a benchmark leaves hardly anything above it. */
export const topX10 = 95;

export const verdictOf = ({ verdict }: Finding): string => later.compared.verdict[verdict];

/** "tasted 3 times in 2 flights", and what is to be minded about it. */
export function counts(finding: Finding): string {
  return [
    finding.tasted > 0
      ? later.compared.tasted(finding.tasted, finding.flights)
      : finding.d !== null
        ? later.compared.never
        : later.compared.state.untasted,
    ...doubts(finding),
    finding.together ? later.compared.together : '',
  ]
    .filter(Boolean)
    .join(' · ');
}

/** What makes a tasted pairing's figures uncertain, in words. */
const doubts = ({ tasted, benchmark, not_blind, guess, at_ceiling }: Finding): string[] =>
  tasted === 0
    ? []
    : [
        ...(not_blind ? [later.compared.notBlind] : []),
        ...(guess && !benchmark ? [later.compared.guess] : []),
        ...(at_ceiling ? [later.compared.ceiling] : []),
      ];

/** How many tastings stand behind a pairing, or that none does. */
export const behind = (finding: Finding): string =>
  finding.tasted > 0
    ? later.compared.tastings(finding.tasted)
    : finding.benchmark
      ? later.compared.state.untasted
      : later.compared.state[stateOf(finding)];

/** Each score as it was given; on today's scale too where that is another. */
export const scoresOf = ({ scores_x10, todays_x10 }: Finding): { raw: string; today: string }[] =>
  scores_x10.map((raw, i) => {
    const today = todays_x10[i] ?? raw;
    return { raw: score(raw), today: today === raw ? '' : score(today) };
  });

/** From the widest interval, to the next half point; one at least. */
export const reach = (values: readonly number[]): number =>
  Math.max(1, Math.ceil(Math.max(0, ...values.map(Math.abs)) * 2) / 2);

/** Of a hundred choices between it and the benchmark, so many are for it: an ability is the logarithm of those odds. */
export const often = (ability: number): number => Math.round(100 / (1 + Math.exp(-ability)));

/** A trial told of the one that was chosen more often; of a triangle there is nothing to turn. */
export const turnedTo = (it: Trial): Trial =>
  it.sort === 'triangle' || 2 * it.first >= it.n
    ? it
    : {
        ...it,
        a: it.b,
        b: it.a,
        first: it.n - it.first,
        lo_percent: 100 - it.hi_percent,
        hi_percent: 100 - it.lo_percent,
      };

/** Does better, does worse, or no clear difference: an interval on one side of nothing, or not. */
export const sideOf = (lo: number, hi: number): 'ahead' | 'behind' | 'open' =>
  lo > 0 ? 'ahead' : hi < 0 ? 'behind' : 'open';

/** From so many trials on a result can be shown at all, at one in twenty: ½⁵ twice is more, ½⁶ twice less; ⅓² more, ⅓³ less. */
export const leastTrials = (sort: string): number => (sort === 'triangle' ? 3 : 6);
