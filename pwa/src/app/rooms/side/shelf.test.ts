import { describe, expect, it } from 'vitest';
import type { BottlesAnswer, WaysAnswer } from '../../../shared/core.ts';
import { offersOf, shelvesOf } from './shelf.ts';

const bottle = (ingredient: string | null, opened: boolean, finished = false): BottlesAnswer['rows'][number] => ({
  id: `b.${ingredient}.${opened}`,
  name: `bottle of ${ingredient}`,
  ingredient,
  size_ml: 700,
  left_ml: null,
  opened_on: opened ? '2026-05-01' : null,
  finished_on: finished ? '2026-05-10' : null,
  price_minor: null,
  currency: '',
  abv_percent: 40,
  clash: false,
});
const choice = (ingredient: string, family: string): WaysAnswer['choices'][number] => ({
  ingredient,
  name: ingredient,
  abv_percent: 40,
  sugar_g_per_100ml: 0,
  acid_percent: 0,
  own: true,
  family,
});
const ways = {
  family: 'gin',
  choices: [choice('coastal gin', 'gin'), choice('new gin', 'gin'), choice('aged rum', 'rum'), choice('oat drink', '')],
} as Pick<WaysAnswer, 'family' | 'choices'> as WaysAnswer;
const place = { id: 'l1', own: 'juniper-heavy gin', there: ['used gin'], benched: ['benched gin'] };

describe('what stands on the shelf for a line', () => {
  const offers = offersOf(
    ways,
    [
      bottle('coastal gin', false),
      bottle('coastal gin', true),
      bottle('new gin', false),
      bottle('aged rum', true),
      bottle('oat drink', true),
      bottle('lemon cordial', true),
      bottle('empty gin', true, true),
      bottle(null, true),
    ],
    place,
  );

  it('is each ingredient once, open if one bottle is; finished and unnamed ones are left out', () => {
    expect(offers.map(({ ingredient, opened, near }) => [ingredient, opened, near])).toEqual([
      ['coastal gin', true, true],
      ['new gin', false, true],
      ['aged rum', true, false],
      ['oat drink', true, false],
      ['lemon cordial', true, false],
    ]);
  });

  it('leaves out what the line has, by the name of the bottle or of the ingredient', () => {
    const had = { ...place, own: 'Bottle of aged rum', there: [], benched: ['COASTAL GIN'] };
    expect(offersOf(ways, [bottle('coastal gin', true), bottle('aged rum', true)], had)).toEqual([]);
  });

  it('has opened ones of the line’s family first, and what is ticked; the rest by family', () => {
    const { first, rest } = shelvesOf(offers, ['aged rum']);
    expect(first.map(({ ingredient }) => ingredient)).toEqual(['coastal gin', 'aged rum']);
    expect(rest.map(({ family, offers: of }) => [family, of.map(({ name }) => name)])).toEqual([
      ['gin', ['new gin']],
      ['', ['bottle of lemon cordial', 'oat drink']],
    ]);
  });

  it('of a line of no known family offers what is of its sort', () => {
    expect(offersOf({ ...ways, family: '' }, [bottle('aged rum', true)], place)[0]?.near).toBe(true);
  });
});
