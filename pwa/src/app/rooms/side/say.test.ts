import { expect, it } from 'vitest';
import type { ComparisonAnswer, Finding } from '../../../shared/core.ts';
import { counts, gridOf, reach, sentence, signed, stateOf } from './say.ts';

const finding = (more: Partial<Finding>): Finding => ({
  picks: '',
  names: [],
  benchmark: false,
  tasted: 0,
  flights: 0,
  scores_x10: [],
  todays_x10: [],
  d: null,
  lo: null,
  hi: null,
  better_percent: null,
  verdict: 'not_enough_data',
  not_blind: false,
  guess: false,
  together: false,
  at_ceiling: false,
  price_minor: null,
  currency: '',
  on_front: false,
  per_point_minor: null,
  spec: null,
  ...more,
});

it('says a difference with its sign', () => {
  expect([signed(0.6), signed(-0.3), signed(0)]).toEqual(['+0.6', '−0.3', '0.0']);
});

it('says what the data says with how sure that is', () => {
  expect(sentence({ code: 'ahead', names: ['floral gin', 'clear pear'], d: 0.6, lo: 0, hi: 1.2 })).toBe(
    'floral gin + clear pear is ahead of your benchmark by about 0.6 (likely between 0.0 and 1.2).',
  );
  expect(sentence({ code: 'none_yet', names: [], d: null, lo: null, hi: null })).toBe('Nothing is scored yet.');
});

it('counts tastings and says what is to be minded', () => {
  expect(counts(finding({ tasted: 3, flights: 2 }))).toBe('tasted 3 times in 2 flights');
  expect(counts(finding({ d: 0.2 }))).toBe('predicted from its bottles, never tasted');
  expect(counts(finding({ tasted: 1, flights: 1, not_blind: true, guess: true }))).toBe(
    'tasted once · not blind · a guess so far',
  );
});

it('tells tasted, predicted and untasted apart', () => {
  expect([finding({ tasted: 1 }), finding({ d: 0.1 }), finding({})].map(stateOf)).toEqual([
    'tasted',
    'predicted',
    'untasted',
  ]);
});

it('lays two swaps out as a grid, and no other number of them', () => {
  const swap = (...names: string[]) => ({ effects: names.map((name) => ({ name })) });
  const findings = [finding({ names: ['a', 'y'] }), finding({ names: ['b', 'x'] })];
  const two = { swaps: [swap('a', 'b'), swap('x', 'y')], findings } as unknown as ComparisonAnswer;
  expect(gridOf(two)).toEqual([
    { row: 'a', cells: [undefined, findings[0]] },
    { row: 'b', cells: [findings[1], undefined] },
  ]);
  expect(gridOf({ ...two, swaps: two.swaps.slice(1) })).toEqual([]);
});

it('ends an axis at half a point beyond nothing', () => {
  expect([reach([]), reach([0.2]), reach([-1.1, 0.4])]).toEqual([1, 1, 1.5]);
});
