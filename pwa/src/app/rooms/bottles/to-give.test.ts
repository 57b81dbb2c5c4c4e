import { expect, test } from 'vitest';
import { later } from '../../words.ts';
import { giveAway } from './to-give.ts';

const bottle = {
  id: '1',
  name: 'juniper-heavy gin, 47 %',
  ingredient: null,
  size_ml: 700,
  left_ml: 410 as number | null,
  opened_on: '2026-05-01' as string | null,
  finished_on: null as string | null,
  price_minor: null,
  currency: '',
  abv_percent: 47 as number | null,
  clash: false,
};

test('what is finished or empty is not given away; what is left is said, or that nobody knows', () => {
  const lines = giveAway([
    bottle,
    { ...bottle, name: 'quince liqueur', abv_percent: 24, opened_on: null, left_ml: 500 },
    { ...bottle, name: 'old vermouth', abv_percent: null, left_ml: null },
    { ...bottle, left_ml: 0 },
    { ...bottle, finished_on: '2026-05-02' },
  ]);
  expect(lines).toHaveLength(3);
  expect(lines[0]).toBe(later.bottles.giveLine('juniper-heavy gin, 47 %', later.bottles.left('410\u00a0ml')));
  expect(lines[1]).toBe(later.bottles.giveLine('quince liqueur, 24\u00a0%', later.bottles.unopened));
  expect(lines[2]).toBe(later.bottles.giveLine('old vermouth', later.bottles.leftUnknown));
});
