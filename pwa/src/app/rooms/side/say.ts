import type { ComparisonAnswer, Finding } from '../../../shared/core.ts';
import { decimal } from '../../format.ts';
import { later } from '../../words-later.ts';

/** A difference with its sign: +0.6, −0.3, 0.0. */
export const signed = (d: number): string => `${d > 0 ? '+' : ''}${decimal(d, 1)}`;

export const between = (lo: number, hi: number): string => later.compared.between(signed(lo), signed(hi));

export const named = (names: readonly string[]): string => names.join(' + ');

/** What the data says, a sentence a code. */
export function sentence(say: ComparisonAnswer['say'][number]): string {
  const sure =
    say.d === null || say.lo === null || say.hi === null
      ? ''
      : later.compared.by(decimal(Math.abs(say.d), 1), decimal(say.lo, 1), decimal(say.hi, 1));
  return later.compared.say(say.code, named(say.names), sure);
}

/** Tasted, predicted or untasted: a word, and a mark of another shape. */
export const stateOf = (finding: Finding): 'tasted' | 'predicted' | 'untasted' =>
  finding.tasted > 0 || finding.benchmark ? 'tasted' : finding.d !== null ? 'predicted' : 'untasted';

/** "tasted 3 times in 2 flights", and what is to be minded about it. */
export function counts(finding: Finding): string {
  return [
    finding.tasted > 0
      ? later.compared.tasted(finding.tasted, finding.flights)
      : finding.d !== null
        ? later.compared.never
        : later.compared.state.untasted,
    finding.tasted > 0 && finding.not_blind ? later.compared.notBlind : '',
    finding.tasted > 0 && finding.guess ? later.compared.guess : '',
    finding.together ? later.compared.together : '',
    finding.at_ceiling ? later.compared.ceiling : '',
  ]
    .filter(Boolean)
    .join(' · ');
}

/** The findings of two swaps by row and column, in the order of the candidates; what is missing is undefined. */
export function gridOf(answer: ComparisonAnswer): { row: string; cells: (Finding | undefined)[] }[] {
  const [down, across] = answer.swaps;
  if (!down || !across || answer.swaps.length !== 2) return [];
  const key = (a: string, b: string) => `${a}\n${b}`;
  const by = new Map(answer.findings.map((it) => [key(it.names[0] ?? '', it.names[1] ?? ''), it]));
  return down.effects.map(({ name }) => ({
    row: name,
    cells: across.effects.map((it) => by.get(key(name, it.name))),
  }));
}

/** From the widest interval, to the next half point; one at least. */
export const reach = (values: readonly number[]): number =>
  Math.max(1, Math.ceil(Math.max(0, ...values.map(Math.abs)) * 2) / 2);
