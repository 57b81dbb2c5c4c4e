/** Invented answers about comparing: one to four swaps, 2, 12 and 48 pairings. Figures are made up. */
import type { Answers, ComparisonAnswer, DrinkUnit, Finding, Id } from '../src/shared/core.ts';
import { flights } from './flights.ts';

const long = 'cask-rested gin of the long orchard wall, second bottling, 45 %';
const gins = [
  'juniper-heavy gin',
  'soft floral gin',
  'citrus-led gin',
  'coastal gin, salty',
  long,
  'old-style sweet gin',
];
const pears = ['clear pear', 'cask-rested pear'];
const moreGins = ['navy-strength gin', 'gin of two harvests'];
const morePears = ['pear and quince eau-de-vie', 'perry brandy', 'pear liqueur, dry', 'smoked pear'];
const lemons = ['lemon juice', 'verjus'];
const touches = ['', '5 ml gentian bitter', '2 dashes orange bitters'];

export const compared = {
  two: 'cmp-2',
  one: 'cmp-one',
  twelve: 'cmp-12',
  many: 'cmp-48',
  three: 'cmp-three',
  four: 'cmp-four',
  none: 'cmp-0',
  unpriced: 'cmp-unpriced',
} as const;

const listsOf = (id: Id): string[][] => {
  switch (id) {
    case compared.two:
      return [gins.slice(0, 2)];
    case compared.one:
      return [gins];
    case compared.many:
      return [
        [...gins, ...moreGins],
        [...pears, ...morePears],
      ];
    case compared.three:
      return [gins.slice(0, 4), pears, touches];
    case compared.four:
      return [gins.slice(0, 3), pears, lemons, touches.slice(0, 2)];
    default:
      return [gins, pears];
  }
};

/** The lines of the drink that are swapped; the touches stand in none. */
const lineNames = ['juniper-heavy gin', 'clear pear', 'lemon juice'];

/** What stands in a swap, as its picks say it: nothing added is the swap itself. */
const partOf = (j: number, name: string): string => (name === '' ? `swap.${j}` : name.replaceAll(' ', '_'));

function findingsOf(lists: string[][], tasted: boolean): Finding[] {
  const rows = lists.reduce<string[][]>((all, names) => all.flatMap((row) => names.map((it) => [...row, it])), [[]]);
  return rows.map((names, i): Finding => {
    const n = !tasted ? 0 : i === 0 ? 4 : i % 3 === 1 ? 2 : i % 3 === 2 ? 0 : 1;
    const d = i === 0 ? 0 : Math.round((0.6 * Math.cos((i - 1) * 2.1) - 0.1 * (i % 4)) * 10) / 10;
    const half = i === 0 ? 0 : n === 0 ? 1.1 : n === 1 ? 0.8 : 0.5;
    return {
      picks: names.map((name, j) => `swap.${j} ${partOf(j, name)}`).join('\n'),
      names,
      benchmark: i === 0,
      tasted: n,
      flights: Math.min(n, 2),
      scores_x10: Array.from({ length: n }, (_, k) => 75 + 5 * k),
      todays_x10: Array.from({ length: n }, (_, k) => 55 + 5 * k),
      d: tasted ? d : null,
      lo: tasted ? Math.round((d - half) * 10) / 10 : null,
      hi: tasted ? Math.round((d + half) * 10) / 10 : null,
      better_percent: tasted ? 70 : null,
      verdict:
        i === 0
          ? 'benchmark'
          : !tasted
            ? 'not_enough_data'
            : n === 0
              ? d > 0
                ? 'worth_trying'
                : 'predicted'
              : i === 1
                ? 'probably_better'
                : d < -0.5
                  ? 'probably_worse'
                  : 'about_the_same',
      not_blind: i === 3,
      guess: n === 1,
      together: i === 1,
      at_ceiling: false,
      price_minor: i === 4 ? null : 210 + ((i * 37) % 160),
      currency: 'AUD',
      on_front: i === 1 || i === 9,
      per_point_minor: i === 1 ? 62 : null,
      spec: n > 0 ? 'spec' : null,
    };
  });
}

export function comparisonOf(id: Id, unit: DrinkUnit): ComparisonAnswer {
  const none = id === compared.none;
  const lists = listsOf(id);
  const plain = id === compared.two || id === compared.unpriced;
  const laid = findingsOf(lists, !none).map((it) =>
    id === compared.unpriced ? { ...it, price_minor: null, on_front: false, per_point_minor: null } : it,
  );
  const findings = id === '' ? laid : [...laid].sort((a, b) => (b.d ?? -9) - (a.d ?? -9));
  const second = laid[1]?.names ?? [];
  return {
    id,
    name: 'Orchard Sour',
    drink_name: 'Orchard Sour',
    base: 'spec',
    anchor_x10: none ? null : 80,
    anchors: none
      ? []
      : [
          { id: 'seg.1', from_ms: Date.UTC(2026, 3, 1), day: '2026-04-01', anchor_x10: 100 },
          { id: 'seg.2', from_ms: Date.UTC(2026, 4, 9), day: '2026-05-09', anchor_x10: 80 },
        ],
    swaps: lists.map((names, j) => ({
      id: `swap.${j}`,
      line_name: names.includes('') ? '' : (lineNames[j] ?? ''),
      amount: names.includes('') ? '' : j === 0 ? '37.5 ml' : '15 ml',
      addition: names.includes(''),
      effects: names.map((name, i) => ({
        ingredient: partOf(j, name),
        candidate: name === '' ? `none.${j}` : partOf(j, name),
        name,
        family: i % 2 ? 'contemporary' : 'dry',
        benched: i === 5,
        benchmark: i === 0,
        d: i === 0 ? 0 : Math.round((0.6 - i * 0.2) * 10) / 10,
        lo: i === 0 ? 0 : Math.round((0.1 - i * 0.2) * 10) / 10,
        hi: i === 0 ? 0 : Math.round((1.1 - i * 0.2) * 10) / 10,
        better_percent: 70,
        tasted: i === 5 ? 0 : 2,
        terms:
          i === 1
            ? [
                { term: 'floral', n: 2 },
                { term: 'too_sweet', n: 1 },
              ]
            : [],
        price_minor: 120 + 25 * i,
        currency: 'AUD',
      })),
    })),
    pairings: findings.length,
    findings,
    say: none
      ? [{ code: 'none_yet', names: [], d: null, lo: null, hi: null }]
      : [
          { code: 'ahead', names: second, d: 0.6, lo: 0, hi: 1.2 },
          { code: 'needs_more', names: second, d: 0.6, lo: 0, hi: 1.2 },
          ...(id === compared.many ? [{ code: 'apart' as const, names: [], d: null, lo: null, hi: null }] : []),
          ...(plain ? [] : [{ code: 'ask_anchor' as const, names: [], d: -2.5, lo: null, hi: null }]),
        ],
    families: none || plain ? [] : [{ swap: 'swap.0', family: 'contemporary', than: 'dry', d: 0.3, lo: -0.4, hi: 1 }],
    groups: id === compared.many ? [gins.slice(0, 3), [...moreGins, ...morePears.slice(2)]] : [],
    interactions: none ? [] : [{ picks: '', names: second, d: 0.3 }],
    flights: none
      ? []
      : [
          { id: flights.blind, day: '2026-05-15', seats: 4, scored: 1, state: 'running', sight: 'blind' },
          { id: flights.over, day: '2026-05-09', seats: 4, scored: 4, state: 'ended', sight: 'half' },
        ],
    panel:
      none || plain ? [] : [{ taster: 'A friend with a rather long name', n: 4, top: 'soft floral gin + clear pear' }],
    trials:
      none || plain
        ? []
        : [
            {
              sort: 'paired',
              a: 'soft floral gin',
              b: 'juniper-heavy gin',
              n: 4,
              first: 3,
              chance_percent: 63,
              shown: false,
              lo_percent: 30,
              hi_percent: 95,
            },
            {
              sort: 'triangle',
              a: 'soft floral gin + clear pear',
              b: `${long} + cask-rested pear`,
              n: 9,
              first: 7,
              chance_percent: 1,
              shown: true,
              lo_percent: 45,
              hi_percent: 94,
            },
          ],
    choices:
      none || plain
        ? []
        : laid.slice(0, 3).map((it, i) => ({
            picks: it.picks,
            names: it.names,
            ability: [0, 0.9, -0.4][i] ?? 0,
            lo: [0, -0.3, -1.5][i] ?? 0,
            hi: [0, 2.1, 0.7][i] ?? 0,
          })),
    ranks:
      none || plain
        ? null
        : {
            chance_percent: 18,
            shown: false,
            flights: 3,
            rows: laid.slice(0, 3).map(({ names }, i) => ({ names, sum: [7, 6.5, 4.5][i] ?? 0 })),
          },
    scored: none ? 0 : 14,
    unit,
    csv: 'names,d\r\n',
  };
}

export function comparisonsOf(empty: boolean, drinks: Answers['comparisons']['drinks']): Answers['comparisons'] {
  const row = (id: Id, name: string, candidates: number[], running: Id | null) => ({
    id,
    name,
    drink_name: 'Orchard Sour',
    candidates,
    pairings: candidates.reduce((n, it) => n * it, 1),
    tasted: 7,
    scored: 14,
    last_day: '2026-05-09',
    running,
  });
  return {
    rows: empty
      ? []
      : [
          row(compared.twelve, 'Which gin, which pear spirit, before the cold weather comes', [6, 2], flights.blind),
          row(compared.two, '', [2], null),
          { ...row(compared.many, 'All the gins', [8, 6], null), tasted: 0, scored: 0, last_day: null },
        ],
    drinks: empty ? [] : drinks,
  };
}
