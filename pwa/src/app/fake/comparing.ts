/** Invented answers about comparing: 2, 12 and 48 pairings, a plan, a flight. Figures are made up. */
import type { Alcohol, Answers, ComparisonAnswer, DrinkUnit, Finding, FlightAnswer, Id } from '../../shared/core.ts';

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
const more = Array.from({ length: 18 }, (_, i) => `gin no. ${i + 7}`);

export const compared = { two: 'cmp-2', twelve: 'cmp-12', many: 'cmp-48', none: 'cmp-0' } as const;
export const flights = { blind: 'flight-blind', over: 'flight-over', planned: 'flight-planned' } as const;

const alcohol = (drinks: number): Alcohol => ({
  grams: Math.round(drinks * 10),
  drinks,
  at_least: false,
  or_drinks: null,
  about: false,
});

const listsOf = (id: Id): string[][] =>
  id === compared.two ? [gins.slice(0, 2)] : id === compared.many ? [[...gins, ...more], pears] : [gins, pears];

function findingsOf(lists: string[][], tasted: boolean): Finding[] {
  const rows = lists.reduce<string[][]>((all, names) => all.flatMap((row) => names.map((it) => [...row, it])), [[]]);
  return rows.map((names, i): Finding => {
    const n = !tasted ? 0 : i === 0 ? 4 : i % 3 === 1 ? 2 : i % 3 === 2 ? 0 : 1;
    const d = i === 0 ? 0 : Math.round((0.7 - i * 0.17) * 10) / 10;
    const known = tasted && i < 40;
    return {
      picks: names.map((name, j) => `swap.${j} ${name.replaceAll(' ', '_')}`).join('\n'),
      names,
      benchmark: i === 0,
      tasted: n,
      flights: Math.min(n, 2),
      scores_x10: Array.from({ length: n }, (_, k) => 75 + 5 * k),
      todays_x10: Array.from({ length: n }, (_, k) => 55 + 5 * k),
      d: known ? d : null,
      lo: known ? d - 0.6 : null,
      hi: known ? d + 0.6 : null,
      better_percent: known ? 70 : null,
      verdict:
        i === 0
          ? 'benchmark'
          : !known
            ? 'not_enough_data'
            : n === 0
              ? 'worth_trying'
              : i === 1
                ? 'probably_better'
                : i > 6
                  ? 'worse'
                  : 'about_the_same',
      not_blind: i === 3,
      guess: n === 1,
      together: i === 1,
      at_ceiling: false,
      price_minor: i === 4 ? null : 210 + i * 15,
      currency: 'AUD',
      on_front: i < 2,
      per_point_minor: i === 1 ? 25 : null,
      spec: n > 0 ? 'spec' : null,
    };
  });
}

export function comparisonOf(id: Id, unit: DrinkUnit): ComparisonAnswer {
  const none = id === compared.none;
  const lists = listsOf(id);
  const findings = findingsOf(lists, !none);
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
      line_name: j === 0 ? 'gin' : 'pear eau-de-vie',
      amount: j === 0 ? '37.5 ml' : '15 ml',
      addition: false,
      effects: names.map((name, i) => ({
        ingredient: name.replaceAll(' ', '_'),
        candidate: `cand.${j}.${i}`,
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
        price_minor: 5200,
        currency: 'AUD',
      })),
    })),
    pairings: findings.length,
    findings,
    say: none
      ? [{ code: 'none_yet', names: [], d: null, lo: null, hi: null }]
      : [
          { code: 'ahead', names: findings[1]?.names ?? [], d: 0.6, lo: 0, hi: 1.2 },
          { code: 'needs_more', names: findings[1]?.names ?? [], d: null, lo: null, hi: null },
        ],
    families: none ? [] : [{ swap: 'swap.0', family: 'contemporary', than: 'dry', d: 0.3, lo: -0.4, hi: 1 }],
    groups: id === compared.many ? [gins.slice(0, 3), more.slice(0, 4)] : [],
    interactions: none ? [] : [{ picks: '', names: findings[1]?.names ?? [], d: 0.3 }],
    flights: none
      ? []
      : [
          { id: flights.blind, day: '2026-05-15', seats: 4, scored: 1, state: 'running', sight: 'blind' },
          { id: flights.over, day: '2026-05-09', seats: 4, scored: 4, state: 'ended', sight: 'half' },
        ],
    panel: none ? [] : [{ taster: 'A friend with a rather long name', n: 4, top: 'soft floral gin + clear pear' }],
    trials: none
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
        ],
    choices: [],
    ranks: null,
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
          { ...row(compared.many, 'All the gins', [24, 2], null), tasted: 0, scored: 0, last_day: null },
        ],
    drinks: empty ? [] : drinks,
  };
}

export function planOf(glasses: number, seats: string[] | undefined, quiet: boolean, unit: DrinkUnit): Answers['plan'] {
  const findings = findingsOf([gins, pears], true);
  const whys = ['benchmark', 'leader', 'new', 'promise', 'promise', 'new'] as const;
  const chosen = seats ? findings.filter(({ picks }) => seats.includes(picks)) : findings.slice(0, glasses);
  const fits = glasses < 6;
  return {
    seats: chosen.map(({ picks, names }, i) => ({
      picks,
      names,
      why: seats ? 'own' : (whys[i] ?? 'promise'),
      gain: null,
      alcohol: alcohol(0.4),
    })),
    flight: alcohol(0.4 * chosen.length),
    today: alcohol(0.5),
    session: alcohol(0.5),
    limit_drinks: fits ? 4 : 2,
    limit_from: 'usual',
    fits,
    unknown: [],
    unit,
    heavy: false,
    quiet,
  };
}

export function flightOf(id: Id, unit: DrinkUnit): FlightAnswer {
  const over = id === flights.over;
  const codes = [417, 825, 263, 938];
  const names = findingsOf([gins, pears], true).slice(0, 4);
  return {
    id,
    comparison: compared.twelve,
    name: 'Orchard Sour',
    state: over ? 'ended' : id === flights.planned ? 'planned' : 'running',
    sight: over ? 'half' : 'blind',
    pour_ml: 20,
    limit_drinks: 4,
    today: alcohol(0.5),
    unit,
    revealed: over,
    uncover: false,
    fits: true,
    last_ms: null,
    batch: [
      { name: 'lemon juice', one_ml: 3.2, ml: 12.8, typed: '22.5 ml lemon juice' },
      { name: 'honey syrup', one_ml: 2.1, ml: 8.4, typed: '15 ml honey syrup' },
    ],
    method: 'shaken',
    seats: codes.map((code, i) => ({
      id: `seat.${i}`,
      pos: i + 1,
      code,
      names: over ? (names[i]?.names ?? []) : [],
      score_x10: over || (i === 0 && id === flights.blind) ? 75 - 5 * i : null,
      note: over && i === 1 ? 'Softer, and longer.' : '',
      tags: [],
      pour: over ? `pour.${i}` : null,
      ratings: over && i === 0 ? [{ taster: 'A friend with a rather long name', score_x10: 80 }] : [],
    })),
    key: codes.map((code, i) => ({
      code,
      names: names[i]?.names ?? [],
      lines: [
        { name: names[i]?.names[0] ?? '', ml: 5.3 },
        { name: names[i]?.names[1] ?? '', ml: 2.1 },
      ],
    })),
    terms: ['floral', 'citrus', 'too_sweet', 'bitter', 'long', 'thin'],
    next: over ? null : id === flights.planned ? 1 : 2,
  };
}
