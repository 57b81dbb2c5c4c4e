import { describe, expect, it } from 'vitest';
import type { ComparisonAnswer, Effect, LineView } from '../../../shared/core.ts';
import { amountsOf, drunkOf, firstTwo, kept, namesIn, picksIn, picksOf, type Trials } from './form.ts';

const effect = (id: string, name: string, benchmark = false): Effect => ({
  ingredient: id,
  candidate: `cand.${id}`,
  name,
  family: '',
  benched: false,
  benchmark,
  d: 0,
  lo: 0,
  hi: 0,
  better_percent: 50,
  tasted: 0,
  terms: [],
  price_minor: null,
  currency: '',
});
const swaps: ComparisonAnswer['swaps'] = [
  {
    id: 's1',
    line_name: 'gin',
    amount: '30 ml',
    addition: false,
    effects: [effect('dry', 'dry gin', true), effect('soft', 'soft gin')],
  },
  {
    id: 's2',
    line_name: '',
    amount: '',
    addition: true,
    effects: [effect('', '', true), effect('bitter', '5 ml gentian bitter')],
  },
];
const plain = 's1 dry\ns2 s2';
const other = 's1 soft\ns2 cand.bitter';

describe('a pairing in words and picks', () => {
  it('is read and written alike, an addition by its candidate, nothing added by its swap', () => {
    expect(picksOf(swaps, picksIn(swaps, other))).toBe(other);
    expect(picksOf(swaps, picksIn(swaps, plain))).toBe(plain);
    expect(namesIn(swaps, other)).toEqual(['soft gin', '5 ml gentian bitter']);
    expect(namesIn(swaps, plain)).toEqual(['dry gin', '']);
  });
  it('is the benchmark’s own where a pick is no candidate any more', () => {
    expect(picksOf(swaps, picksIn(swaps, 's1 gone\ns9 x'))).toBe(plain);
  });
  it('begins with the benchmark and the best that was tasted', () => {
    const finding = (picks: string, tasted: number, benchmark = false) => ({ picks, tasted, benchmark });
    const findings = [finding('s1 soft\ns2 s2', 0), finding(other, 2), finding(plain, 3, true)];
    expect(firstTwo({ swaps, findings } as unknown as ComparisonAnswer)).toEqual({ a: plain, b: other });
  });
});

describe('what is poured for a trial', () => {
  const line = (name: string, ingredient: string | null, volume_ml: number | null) =>
    ({ name, ingredient, volume_ml }) as LineView;
  const view = {
    lines: [line('dry gin', 'dry', 40), line('lemon juice', 'lemon', 20), line('soda', null, null)],
    balance: { after: { volume_ml: { v: 80 } } },
  };

  it('is the glass made small, with what stands in its lines and what is put to it', () => {
    expect(amountsOf(view, swaps, other, 20)).toEqual([
      { name: 'soft gin', ml: 10 },
      { name: 'lemon juice', ml: 5 },
      { name: 'soda', ml: null },
      { name: '5 ml gentian bitter', ml: null },
    ]);
  });
  it('is the spec as it stands where the pairing was made before', () => {
    expect(amountsOf(view, swaps, null, 80).map(({ name, ml }) => [name, ml])).toEqual([
      ['dry gin', 40],
      ['lemon juice', 20],
      ['soda', null],
    ]);
  });
  it('has no amounts where the glass has no volume', () => {
    const open = { ...view, balance: { after: { volume_ml: { v: null } } } };
    expect(amountsOf(open, swaps, plain, 20).map(({ ml }) => ml)).toEqual([null, null, null]);
  });
});

describe('what was drunk in a trial', () => {
  it('is all of its glasses, as strong as they are together', () => {
    const glasses = [
      { ml: 15, abv_percent: 20 },
      { ml: 15, abv_percent: 23 },
    ];
    expect(drunkOf(glasses, 10_000)).toEqual({ vol_ul: 30_000, abv_bp: 2150 });
    expect(drunkOf(glasses, 2500)).toEqual({ vol_ul: 7500, abv_bp: 2150 });
  });
  it('is of unknown strength when one of them is', () => {
    expect(
      drunkOf(
        [
          { ml: 15, abv_percent: 20 },
          { ml: 15, abv_percent: null },
        ],
        5000,
      ),
    ).toEqual({
      vol_ul: 15_000,
      abv_bp: null,
    });
  });
});

describe('trials under way', () => {
  const one: Trials = {
    sort: 'triangle',
    a: plain,
    b: other,
    ml: 15,
    share: 10_000,
    seed: '18446744073709551615',
    made: [{ trial: 't1', pour: 'p1' }],
    ids: { trial: 't2', pour: 'p2' },
    poured: true,
    begun: true,
  };
  it('are found again after a reload', () => {
    expect(kept(JSON.parse(JSON.stringify(one)))).toEqual(one);
  });
  it('are not trusted when another version wrote them', () => {
    for (const bad of [
      null,
      {},
      { ...one, sort: 'duo' },
      { ...one, seed: 'x' },
      { ...one, ids: null },
      { ...one, made: [1] },
    ])
      expect(kept(bad)).toBeNull();
  });
});
