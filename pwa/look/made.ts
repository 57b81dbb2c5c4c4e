/** Invented answers about what is made at home: batches, a syrup, an infusion, makings, the calibration. Figures are made up. */
import type { Answers, Caution, DrinkUnit, Figure, Id, Question, SpecView } from '../src/shared/core.ts';

const long = 'Syrup of windfall pears and heather honey, the second boil';
const figure = (v: number | null, lo: number | null, hi: number | null, dec: number): Figure => ({ v, lo, hi, dec });

export const cautions: Caution[] = [
  { code: 'raw_egg', names: ['egg white'], marking: 'from memory (unverified)' },
  { code: 'grapefruit', names: ['grapefruit juice'], marking: 'FDA, read in reports; pomelo from memory' },
  { code: 'allergen.egg', names: ['egg white'], marking: 'Regulation (EU) 1169/2011, Annex II, from memory' },
  { code: 'allergen.nuts', names: [long], marking: 'own' },
];

export function batchOf(view: SpecView, unit: DrinkUnit, question: Extract<Question, { q: 'batch' }>): unknown {
  const n = question.servings ?? 7.1;
  const line = (i: number, name: string, one: number, more: object = {}) => ({
    line: `line.${i}`,
    name,
    one_ml: one,
    ml: Math.round(one * n),
    grams: Math.round(one * n * 0.98),
    estimate: false,
    taste_first: false,
    bottles: [{ bottle: `bottle.${i}`, name, takes_ml: Math.round(one * n) }],
    short_ml: 0,
    pieces: null,
    ...more,
  });
  const answer: Answers['batch'] = {
    spec: view.id,
    name: 'Orchard Sour',
    method: 'shaken',
    servings: n,
    serving_ml: figure(166, 166, 166, 0),
    lines: [
      line(1, 'juniper-heavy gin, 47 %', 37.5),
      line(2, 'pear eau-de-vie, 42 %', 15, { short_ml: 40, bottles: [] }),
      line(3, 'quince liqueur, 24 %', 15),
      line(4, 'lemon juice', 22.5, { bottles: [] }),
      line(5, long, 15),
      line(6, 'orange bitters', 1.8, { estimate: true, taste_first: true, grams: null, bottles: [] }),
      line(7, 'egg white', 20, { bottles: [] }),
      line(8, 'grapefruit juice', 10, { bottles: [] }),
      line(9, 'house amaro', 5, { grams: null }),
      line(10, 'saline', 0.5, { estimate: true, taste_first: true, bottles: [] }),
      line(11, 'bay leaf', 0, { one_ml: null, ml: null, grams: null, pieces: n, bottles: [] }),
      line(12, 'soda', 0, { one_ml: null, ml: null, grams: null, bottles: [] }),
    ],
    water_ml: question.water === 'none' ? figure(0, 0, 0, 1) : figure(472, 360, 592, 0),
    water_grams: question.water === 'none' ? 0 : 471,
    water_percent_of_start: figure(55, 42, 69, 0),
    total_ml: 1326,
    bottle_ml: question.bottle_ul === undefined ? null : question.bottle_ul / 1000,
    headspace_ml: question.bottle_ul === undefined ? null : (question.headspace_ul ?? 0) / 1000,
    balance: view.balance,
    alcohol: { grams: 170, drinks: 17, at_least: false, or_drinks: null, about: true },
    unit,
    freezer:
      question.freezer_c === undefined
        ? null
        : { at_c: question.freezer_c, freezes_c: figure(-9.5, -11, -8, 1), state: 'slush', min_abv_percent: 28.4 },
    cautions: [
      ...cautions,
      { code: 'in_glass', names: ['soda'], marking: '' },
      ...(question.carbonated ? [{ code: 'carbonated_freezer', names: [], marking: '' }] : []),
      ...(question.freezer_c === undefined ? [] : [{ code: 'slush', names: [], marking: '' }]),
    ],
    cost: [{ currency: 'AUD', minor: 4820, partial: true }],
  };
  return answer;
}

export const syrupOf = (price: boolean): Answers['syrup'] => ({
  sugar_g: 500,
  water_g: 250,
  brix: 66.7,
  sugar_g_per_100ml: 88.2,
  yield_ml: 567,
  crystals_5c: true,
  crystals_20c: false,
  cost_minor: price ? 115 : null,
  cost_minor_per_100ml: price ? 20.28 : null,
});

export const infusionOf = (what: string, water: boolean): Answers['infusion'] => ({
  abv_percent: water ? figure(37.4, 37.4, 37.4, 1) : figure(40, 40, 40, 1),
  made_ml: 460,
  cost_factor: 1.087,
  assumed: !water,
  cautions: what.includes('tonka')
    ? [
        { code: 'avoid.tonka', names: ['tonka bean'], marking: '21 CFR 189.130, read in a copy' },
        { code: 'infused.foraged', names: ['foraged elder'], marking: 'common practice' },
      ]
    : [],
});

export function makingsOf(spec: Id): Answers['makings'] {
  const row = (n: number, name: string, more: Partial<Answers['makings']['rows'][number]> = {}) => ({
    id: `making.${n}`,
    sort: 'syrup' as const,
    name,
    spec: null,
    on: '2026-05-10',
    made_ml: 600,
    servings: null,
    bottle: `bottle.${n}`,
    left_ml: 240,
    keep_by: '2026-05-24',
    over: false,
    cost: [{ currency: 'AUD', minor: 310, partial: false }],
    draws: [],
    ...more,
  });
  return {
    rows: [
      row(1, 'Orchard Sour, batch', {
        sort: 'batch',
        spec,
        made_ml: 1326,
        servings: 8,
        left_ml: 830,
        keep_by: null,
        cost: [{ currency: 'AUD', minor: 4820, partial: true }],
        draws: [
          { bottle: 'b1', name: 'juniper-heavy gin', ml: 300 },
          { bottle: 'b2', name: '', ml: 120 },
        ],
      }),
      row(2, long, { over: true, keep_by: '2026-05-12' }),
      row(3, 'gin with bay leaf', { sort: 'infusion', left_ml: 0, cost: [] }),
      row(4, 'something of last year', { sort: '', made_ml: null, left_ml: null, keep_by: null, cost: [] }),
    ],
    now_day: '2026-05-15',
  };
}

export const calibration: Answers['calibration'] = {
  rows: [
    { method: 'shaken', ice: 'cubed', drinks: 6, percent: 112, lo: 98, hi: 126, seen_percent: 115 },
    { method: 'shaken', ice: '', drinks: 7, percent: 110, lo: 97, hi: 124, seen_percent: 112 },
    { method: 'stirred', ice: 'one large clear block', drinks: 1, percent: 93, lo: 70, hi: 117, seen_percent: 84 },
  ],
};
