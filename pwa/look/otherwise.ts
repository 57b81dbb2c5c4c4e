/** Invented answers about a spec otherwise: swaps, touches, two versions. The figures are made up. */
import type { Answers, Balance, Figure, Id, SpecView, Way, WayLine } from '../src/shared/core.ts';

const long = 'Syrup of windfall pears and heather honey, the second boil';

const shifted = (f: Figure, by: number): Figure => ({
  ...f,
  v: f.v === null ? null : f.v + by,
  lo: f.lo === null ? null : f.lo + by,
  hi: f.hi === null ? null : f.hi + by,
});

function sweeter(balance: Balance, by: number): Balance {
  const after = { ...balance.after, sugar_g_per_100ml: shifted(balance.after.sugar_g_per_100ml, by) };
  return { ...balance, after, verdict: { ...balance.verdict, ...(by < 0 ? { sugar_g_per_100ml: 'in' } : {}) } };
}

const unknownStrength = (balance: Balance): Balance => ({
  ...balance,
  after: { ...balance.after, abv_percent: { v: null, lo: null, hi: null, dec: 1 } },
  verdict: { ...balance.verdict, abv_percent: '' },
  remarks: [{ code: 'strength_unknown', names: [long] }],
});

const allOf = (spec: SpecView): WayLine[] => spec.lines.map((line) => ({ keep: line.id, typed: line.typed }));

/** `none`: the ingredient of which too little is known. */
export function waysOf(spec: SpecView, line: Id, ingredient: Id | undefined): Answers['ways'] {
  const was = spec.lines.find((it) => it.id === line)?.typed ?? '';
  const choices = Array.from({ length: 16 }, (_, i) => ({
    ingredient: `sweet.${i}`,
    name: ['agave syrup', long, 'demerara syrup, 2:1', 'maple syrup'][i] ?? `garden syrup no. ${i}`,
    abv_percent: 0,
    sugar_g_per_100ml: i === 1 ? null : 60 + i / 2,
    acid_percent: 0,
    own: i < 2,
    family: 'syrup',
  }));
  const way = (name: Way['way'], typed: string, by: number, more: Partial<Way> = {}): Way => ({
    way: name,
    lines: [{ was, typed }],
    all: allOf(spec),
    balance: sweeter(spec.balance, by),
    alcohol: spec.alcohol,
    weigh: [],
    batch_ml: null,
    notes: [],
    ...more,
  });
  const ways =
    ingredient === undefined || ingredient === 'sweet.2'
      ? []
      : ingredient === 'sweet.1'
        ? [
            way('same_volume', `15 ml ${long}`, 0, {
              balance: unknownStrength(spec.balance),
              alcohol: { ...spec.alcohol, at_least: true },
              notes: ['strength_unknown', 'sugar_unknown'],
            }),
          ]
        : [
            way('same_volume', '15 ml agave syrup', 1.3, { notes: ['sugar_more'] }),
            way('equal_sugar', '12.5 ml agave syrup', 0, {
              lines: [
                { was, typed: '12.5 ml agave syrup' },
                { was: '', typed: '2.5 ml water' },
              ],
            }),
            way('as_it_tastes', '10 ml agave syrup', -1.6, {
              weigh: [{ acid: 'malic', grams: 0.25 }],
              batch_ml: 120,
              notes: ['factor_used', 'sugar_less', 'total_changes'],
            }),
          ];
  return { line, name: 'honey syrup', sort: 'sweetener', family: 'syrup', before: spec.balance, choices, ways };
}

export function touchesOf(spec: SpecView): Answers['touches'] {
  const row = (typed: string, sort: 'dashes' | 'spiced' | 'bitter', by: number) => ({
    typed,
    name: typed,
    sort,
    marking: 'common practice',
    all: [...allOf(spec), { typed }],
    balance: sweeter(spec.balance, by),
    alcohol: spec.alcohol,
  });
  return {
    before: spec.balance,
    rows: [
      row('2 dashes aromatic bitters', 'dashes', 0),
      row('5 ml allspice liqueur', 'spiced', 0.4),
      row('10 ml allspice liqueur', 'spiced', 0.9),
      { ...row(`10 ml ${long}`, 'bitter', 0), balance: unknownStrength(spec.balance) },
    ],
  };
}

export function differenceOf(a: SpecView, b: SpecView): Answers['difference'] {
  const rowOf = (view: SpecView) =>
    a.tree.find(({ row }) => row.id === view.id)?.row ?? { ...a.tree[0]!.row, id: view.id, name: view.name };
  return {
    a: rowOf(a),
    b: rowOf(b),
    rows: [
      { name: 'juniper-heavy gin', a: '1¼ oz juniper-heavy gin', b: '1¼ oz soft floral gin, 41.5 %', sort: 'changed' },
      { name: 'pear eau-de-vie', a: '½ oz pear eau-de-vie', b: '½ oz pear eau-de-vie', sort: '' },
      { name: 'lemon juice', a: '¾ oz lemon juice', b: '20 ml lemon juice', sort: 'changed' },
      { name: long, a: `½ oz ${long}`, b: '', sort: 'only_a' },
      { name: 'soda', a: '', b: 'top soda', sort: 'only_b' },
    ],
    words: [
      { field: 'method', a: 'shaken', b: 'stirred' },
      { field: 'garnish', a: 'bay leaf', b: '' },
      { field: 'strain', a: '', b: 'fine' },
    ],
    balance_a: a.balance,
    balance_b: sweeter(b.balance, -1.6),
  };
}
