import { expect, it } from 'vitest';
import type { Finding } from '../../../shared/core.ts';
import { named, signed } from '../../parts/pairing.ts';
import { behind, counts, leastTrials, often, reach, scoresOf, sentence, sideOf, stateOf, turnedTo } from './say.ts';

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
  const names = ['floral gin', ''];
  expect(sentence({ code: 'needs_more', names, d: 0.3, lo: -0.4, hi: 1 })).toBe(
    'Not enough data to tell yet. Best so far: floral gin, +0.3 (likely −0.4 to +1.0).',
  );
  expect(sentence({ code: 'needs_more', names, d: 0.6, lo: 0, hi: 1 }, 'ahead')).toMatch(/^One flight so far/);
});

it('says why the benchmark’s worth is asked about', () => {
  const ask = { code: 'ask_anchor' as const, names: [], lo: null, hi: null };
  expect(sentence({ ...ask, d: -2.5 })).toContain('scored 2.5 lower than you had declared');
  expect(sentence({ ...ask, d: 2 })).toContain('scored 2.0 higher');
  expect(sentence({ ...ask, d: null })).toContain('declared so high');
});

it('leaves out that nothing is added, unless that is all', () => {
  expect([named(['gin', '']), named(['']), named(['gin', 'pear'])]).toEqual(['gin', 'nothing added', 'gin + pear']);
});

it('sets a score on today’s scale beside it only where that is another', () => {
  expect(scoresOf(finding({ scores_x10: [95, 75], todays_x10: [74, 75] }))).toEqual([
    { raw: '9½', today: '7.4' },
    { raw: '7½', today: '' },
  ]);
});

it('says how many tastings stand behind a cell', () => {
  expect(
    [
      finding({ tasted: 1 }),
      finding({ benchmark: true, tasted: 4 }),
      finding({ benchmark: true }),
      finding({ d: 1 }),
    ].map(behind),
  ).toEqual(['1 tasting', '4 tastings', 'untasted', 'predicted']);
});

it('turns an ability into how often: the odds of e to it (Bradley and Terry’s model, with logarithms)', () => {
  expect([often(0), often(Math.log(3)), often(-Math.log(3)), often(Math.log(9))]).toEqual([50, 75, 25, 90]);
});

it('asks for as many trials as can show anything at one in twenty', () => {
  const paired = leastTrials('paired');
  expect([2 * 0.5 ** paired <= 0.05, 2 * 0.5 ** (paired - 1) > 0.05]).toEqual([true, true]);
  const triangle = leastTrials('triangle');
  expect([(1 / 3) ** triangle <= 0.05, (1 / 3) ** (triangle - 1) > 0.05]).toEqual([true, true]);
  expect(leastTrials('preferred')).toBe(paired);
});

it('tells on which side of nothing an interval lies', () => {
  expect([sideOf(0.1, 1), sideOf(-1, -0.1), sideOf(-0.2, 0.5), sideOf(0, 1)]).toEqual([
    'ahead',
    'behind',
    'open',
    'open',
  ]);
});

it('counts tastings and says what is to be minded', () => {
  expect(counts(finding({ tasted: 3, flights: 2 }))).toBe('tasted 3 times in 2 flights');
  expect(counts(finding({ tasted: 2, flights: 1 }))).toBe('tasted twice in one flight');
  expect(counts(finding({ d: 0.2 }))).toBe('predicted from its bottles, never tasted');
  expect(counts(finding({ tasted: 1, flights: 1, not_blind: true, guess: true }))).toBe(
    'tasted once · not blind · a guess so far',
  );
  expect(counts(finding({ benchmark: true, tasted: 3, flights: 2, guess: true }))).toBe('tasted 3 times in 2 flights');
});

it('tells tasted, predicted and untasted apart', () => {
  expect([finding({ tasted: 1 }), finding({ d: 0.1 }), finding({})].map(stateOf)).toEqual([
    'tasted',
    'predicted',
    'untasted',
  ]);
});

it('ends an axis at half a point beyond nothing', () => {
  expect([reach([]), reach([0.2]), reach([-1.1, 0.4])]).toEqual([1, 1, 1.5]);
});

it('tells a trial of the one chosen more often, with its share the other way round', () => {
  const trial = {
    sort: 'paired',
    a: 'dry',
    b: 'floral',
    n: 8,
    first: 1,
    chance_percent: 7,
    shown: false,
    lo_percent: 2,
    hi_percent: 47,
  };
  expect(turnedTo(trial)).toMatchObject({ a: 'floral', b: 'dry', first: 7, lo_percent: 53, hi_percent: 98 });
  expect(turnedTo({ ...trial, first: 4 })).toMatchObject({ a: 'dry', first: 4 });
  expect(turnedTo({ ...trial, sort: 'triangle' })).toMatchObject({ a: 'dry', first: 1 });
});
