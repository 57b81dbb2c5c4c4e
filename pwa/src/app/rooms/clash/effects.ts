import type { Clash } from '../../../shared/core.ts';
import { decimal, listOf, percent } from '../../format.ts';
import { later, words } from '../../words.ts';

/** What each value would make of the glass, in words; nothing where the core says nothing. */
export function effectsOf(clash: Clash): { acid: string; alcohol: string; same: number | null } {
  const { values } = clash;
  const acids = values.map((value) => value.effect.acid_percent);
  const grams = values.map((value) => value.effect.alcohol_g);
  const listed = (all: readonly (number | undefined)[], say: (n: number) => string): string => {
    if (all.some((n) => n === undefined) || new Set(all).size < 2) return '';
    return listOf(
      all.flatMap((n, i) => (n === undefined ? [] : [later.clash.withEach(say(n), later.clash.ordinal(i))])),
    );
  };
  const first = grams[0];
  const same = first !== undefined && grams.every((n) => n === first) ? first : null;
  return {
    acid: listed(acids, (n) => percent(n, 2)),
    alcohol: listed(grams, (n) => words.gramsOf(decimal(n, 1, 0))),
    same,
  };
}
