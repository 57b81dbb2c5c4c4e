import type { BottlesAnswer, Id, WaysAnswer } from '../../../shared/core.ts';
import type { Place } from './read.ts';

/** A bottle's ingredient that may stand in a line. */
export interface Offer {
  ingredient: Id;
  name: string;
  family: string;
  abv_percent: number | null;
  opened: boolean;
  /** Of the line's own family; where that is not known, of its sort. */
  near: boolean;
}

/** What there is in bottles: each ingredient once, open if one bottle of it is. What the line has already is left out. */
export function offersOf(ways: WaysAnswer, bottles: BottlesAnswer['rows'], place: Place): Offer[] {
  const lower = (name: string) => name.toLowerCase();
  const there = new Set([place.own, ...place.there, ...place.benched].map(lower));
  const choices = new Map(ways.choices.map((it) => [it.ingredient, it]));
  const offers = new Map<Id, Offer>();
  for (const { ingredient, name, abv_percent, opened_on, finished_on } of bottles) {
    if (ingredient === null || finished_on !== null) continue;
    const had = offers.get(ingredient);
    if (had) {
      had.opened ||= opened_on !== null;
      continue;
    }
    const choice = choices.get(ingredient);
    if (there.has(lower(name)) || there.has(lower(choice?.name ?? ''))) continue;
    const family = choice?.family ?? '';
    offers.set(ingredient, {
      ingredient,
      name: choice?.name ?? name,
      family,
      abv_percent,
      opened: opened_on !== null,
      near: choice !== undefined && (ways.family === '' || family === ways.family),
    });
  }
  return [...offers.values()];
}

/** Opened ones of the line's family and what is ticked come first; the rest by family, the line's own before others. */
export function shelvesOf(
  offers: readonly Offer[],
  on: readonly Id[],
): { first: Offer[]; rest: { family: string; offers: Offer[] }[] } {
  const first: Offer[] = [];
  const rest = new Map<string, Offer[]>();
  const byName = (a: Offer, b: Offer) => Number(b.near) - Number(a.near) || a.name.localeCompare(b.name);
  for (const it of [...offers].sort(byName)) {
    if ((it.near && it.opened) || on.includes(it.ingredient)) first.push(it);
    else rest.set(it.family, [...(rest.get(it.family) ?? []), it]);
  }
  const rank = (family: string, of: readonly Offer[]) => (family === '' ? 2 : of.some(({ near }) => near) ? 0 : 1);
  return {
    first,
    rest: [...rest]
      .map(([family, of]) => ({ family, offers: of }))
      .sort((a, b) => rank(a.family, a.offers) - rank(b.family, b.offers) || a.family.localeCompare(b.family)),
  };
}
