import { describe, expect, it } from 'vitest';
import type { BatchAnswer } from '../../../shared/core.ts';
import { blank, drawsOf, kept, makingOf, questionOf } from './ask.ts';

const figure = (v: number | null, more: object = {}) => ({ v, lo: v, hi: v, dec: 1, ...more });
const figures = (abv: number | null, sugar: number, acid: number) => ({
  volume_ml: figure(100),
  abv_percent: figure(abv),
  alcohol_g: figure(10),
  sugar_g_per_100ml: figure(sugar),
  acid_percent: figure(acid),
  sugar_to_acid: figure(8),
});
const line = (takes: [string, number][]) => ({
  line: 'l',
  name: 'gin',
  one_ml: 30,
  ml: 240,
  grams: 230,
  estimate: false,
  taste_first: false,
  bottles: takes.map(([bottle, takes_ml]) => ({ bottle, name: bottle, takes_ml })),
  short_ml: 0,
  pieces: null,
});
const answer = {
  spec: 's',
  servings: 8,
  total_ml: 1326,
  water_ml: figure(472),
  lines: [
    line([
      ['a', 200],
      ['b', 40],
    ]),
    line([['a', 12.5]]),
    line([]),
  ],
  balance: { before: figures(26.6, 14.5, 1.3), after: figures(17, 9.3, 0.83) },
} as unknown as BatchAnswer;

describe('what a form of a batch asks', () => {
  it('asks for glasses with the water of the method at first', () => {
    expect(questionOf('s', blank())).toEqual({ question: { q: 'batch', spec: 's', servings: 8, water: 'method' } });
  });

  it('asks for a bottle, its headspace and a percentage, with a decimal comma', () => {
    const form = { ...blank(), by: 'bottle' as const, bottle: '700', headspace: '37,5', water: 'percent' as const };
    expect(questionOf('s', { ...form, percent: '22,5' })).toEqual({
      question: { q: 'batch', spec: 's', water: 'percent', percent_bp: 2250, bottle_ul: 700_000, headspace_ul: 37_500 },
    });
    expect(questionOf('s', { ...form, headspace: '' })).toMatchObject({ question: { bottle_ul: 700_000 } });
  });

  it('asks for a total', () => {
    expect(questionOf('s', { ...blank(), by: 'total', total: '1500' })).toMatchObject({
      question: { total_ul: 1_500_000 },
    });
  });

  it('asks about the freezer below zero, and never for what is fizzy', () => {
    const form = { ...blank(), freezer: true };
    expect(questionOf('s', form)).toMatchObject({ question: { freezer_c: -18 } });
    const fizzy = questionOf('s', { ...form, fizzy: true });
    expect(fizzy).toMatchObject({ question: { carbonated: true } });
    expect(fizzy).not.toHaveProperty('question.freezer_c');
  });

  it.each([
    ['glasses', { glasses: '2.5' }],
    ['glasses', { glasses: '0' }],
    ['total', { by: 'total', total: '' }],
    ['bottle', { by: 'bottle', bottle: '0' }],
    ['headspace', { by: 'bottle', bottle: '700', headspace: '700' }],
    ['percent', { water: 'percent', percent: '301' }],
    ['below', { freezer: true, below: '41' }],
    ['below', { freezer: true, below: '18.5' }],
  ] as const)('names the field %s when it is wrong: %o', (field, part) => {
    const asked = questionOf('s', { ...blank(), ...part });
    expect(Object.keys('wrong' in asked ? asked.wrong : {})).toEqual([field]);
  });

  it('takes from the disk only what is such a form', () => {
    const form = { ...blank(), glasses: '12' };
    expect(kept(JSON.parse(JSON.stringify(form)))).toEqual(form);
    expect(kept({ ...form, by: 'jug' })).toBeNull();
    expect(kept({ ...form, water: 'sea' })).toBeNull();
    expect(kept({ ...form, fizzy: 'yes' })).toBeNull();
    expect(kept(null)).toBeNull();
  });
});

describe('a batch that was made', () => {
  it('draws from each bottle once', () => {
    expect(drawsOf(answer).map(({ bottle, ml }) => [bottle, ml])).toEqual([
      ['a', 212.5],
      ['b', 40],
    ]);
  });

  it('is recorded in whole units with the figures after its water, without the bottles left out', () => {
    expect(makingOf(answer, 'method', { id: 'm', name: 'n', keep: 3, leave: ['b'] })).toEqual({
      do: 'making',
      id: 'm',
      sort: 'batch',
      name: 'n',
      spec: 's',
      made_ul: 1_326_000,
      servings_x10: 80,
      water_ul: 472_000,
      draws: [{ bottle: 'a', vol_ul: 212_500 }],
      keep_days: 3,
      abv_bp: 1700,
      sugar_mgl: 93_000,
      acid_mgl: 8300,
    });
  });

  it('keeps the figures from before the ice when no water went in, and what is unknown unknown', () => {
    const it = { id: 'm', name: 'n', keep: null, leave: [] };
    expect(makingOf(answer, 'none', it)).toMatchObject({ abv_bp: 2660, sugar_mgl: 145_000, acid_mgl: 13_000 });
    const least = { ...answer, balance: { ...answer.balance, after: figures(null, 9.3, 0.83) } };
    expect(makingOf(least, 'method', it).abv_bp).toBeNull();
  });
});
