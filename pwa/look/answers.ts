/**
 * An invented evening, to look at the screens without the core: the Orchard Sour and its riffs. Nothing here is part of
 * the app; look.config.ts alone uses it. The figures are made up, so test no arithmetic against them.
 */
import type {
  Alcohol,
  Answers,
  Balance,
  Clash,
  DayRow,
  DraftAnswer,
  DrinkUnit,
  Figure,
  Figures,
  GuessesAnswer,
  Guideline,
  KeeperAnswer,
  LineView,
  PourRow,
  PourSheet,
  PourView,
  Question,
  SessionRow,
  SideAnswer,
  SpecRow,
  SpecsAnswer,
  SpecView,
  Tonight,
  WeekAnswer,
  WeeksAnswer,
} from '../src/shared/core.ts';
import { compared, comparisonOf, comparisonsOf } from './comparing.ts';
import { flightOf, trialOf } from './flights.ts';
import { batchOf, calibration, cautions, infusionOf, makingsOf, syrupOf } from './made.ts';
import { differenceOf, touchesOf, waysOf } from './otherwise.ts';
import { plannedComparison, planOf, shelfOf, standingIn } from './planning.ts';

const id = (n: number | string): string => `01K9ZZZZZZ${String(n).padStart(16, '0')}`;
const evening = Date.UTC(2026, 4, 15, 12, 0);

export const unit: DrinkUnit = { country: 'AU', name: 'standard drink', grams: 10, fallback: false };

const alcohol = (drinks: number, more: Partial<Alcohol> = {}): Alcohol => ({
  grams: Math.round(drinks * 10),
  drinks,
  at_least: false,
  or_drinks: null,
  about: false,
  ...more,
});
const figure = (v: number | null, lo: number | null, hi: number | null, dec: number, at_least?: boolean): Figure => ({
  v,
  lo,
  hi,
  dec,
  ...(at_least ? { at_least } : {}),
});

const before: Figures = {
  volume_ml: figure(106.8, 106.2, 107.3, 1),
  abv_percent: figure(26.6, 26.3, 26.9, 1),
  alcohol_g: figure(21.3, 21, 21.6, 1),
  sugar_g_per_100ml: figure(14.5, 13, 16.1, 1),
  acid_percent: figure(1.3, 1.02, 1.56, 2),
  sugar_to_acid: figure(11.2, 8.9, 14.4, 1),
};
const after: Figures = {
  volume_ml: figure(166, 150, 180, 0),
  abv_percent: figure(17, 15.5, 18.5, 1),
  alcohol_g: figure(21.3, 21, 21.6, 1),
  sugar_g_per_100ml: figure(9.3, 8.3, 10.3, 1),
  acid_percent: figure(0.83, 0.65, 1, 2),
  sugar_to_acid: figure(11.2, 8.9, 14.4, 1),
};

export const balance: Balance = {
  method: 'shaken',
  before,
  after,
  water_ml: figure(59, 45, 74, 0),
  water_percent_of_start: figure(55, 42, 69, 0),
  basis: 'curve',
  coldest_c: figure(-7, -8, -6.1, 1),
  usual: {
    abv_percent: { lo: 15, hi: 19.7 },
    sugar_g_per_100ml: { lo: 5, hi: 8.9 },
    acid_percent: { lo: 0.76, hi: 0.94 },
    water_percent_of_start: { lo: 51, hi: 60 },
    volume_ml: { lo: 156, hi: 178 },
  },
  verdict: {
    abv_percent: 'in',
    sugar_g_per_100ml: 'above',
    acid_percent: 'in',
    water_percent_of_start: 'in',
    volume_ml: 'in',
  },
  why: {
    sugar_g_per_100ml: [
      { name: 'honey syrup', volume_ml: 15, per_litre: 690, amount: 10.4, typical: false },
      { name: 'quince liqueur', volume_ml: 15, per_litre: 300, amount: 4.5, typical: true },
      { name: 'lemon juice', volume_ml: 22.5, per_litre: 25, amount: 0.6, typical: true },
    ],
    acid_percent: [{ name: 'lemon juice', volume_ml: 22.5, per_litre: 60, amount: 1.4, typical: true }],
    alcohol_g: [
      { name: 'juniper-heavy gin, 47 %', volume_ml: 37.5, per_litre: 371, amount: 13.9, typical: false },
      { name: 'pear eau-de-vie, 42 %', volume_ml: 15, per_litre: 331, amount: 5, typical: false },
      { name: 'quince liqueur, 24 %', volume_ml: 15, per_litre: 189, amount: 2.8, typical: false },
    ],
  },
  remarks: [{ code: 'estimate', names: ['orange bitters'] }],
};

/** A glass whose house amaro has no strength. */
const doubtful: Balance = {
  ...balance,
  method: 'stirred',
  usual: {},
  verdict: {},
  basis: 'habit',
  coldest_c: figure(null, null, null, 1),
  before: { ...before, abv_percent: figure(null, null, null, 1), alcohol_g: figure(13.9, 13.9, null, 1, true) },
  after: { ...after, abv_percent: figure(null, null, null, 1), alcohol_g: figure(13.9, 13.9, null, 1, true) },
  why: {},
  remarks: [{ code: 'strength_unknown', names: ['house amaro'] }],
};

const line = (
  n: number,
  amount: string,
  unit_: string,
  name: string,
  volume_ml: number | null,
  abv_percent: number | null,
  more: Partial<LineView> = {},
): LineView => ({
  id: id(100 + n),
  amount,
  unit: unit_,
  name,
  note: '',
  typed: `${amount} ${unit_} ${name}`.trim(),
  volume_ml,
  estimate: false,
  open: '',
  ingredient: id(200 + n),
  abv_percent,
  assumed: [],
  clash: false,
  or: null,
  changed: false,
  ...more,
});

const lines: LineView[] = [
  line(1, '1¼', 'oz', 'juniper-heavy gin', 37.5, 47),
  line(2, '½', 'oz', 'pear eau-de-vie', 15, 42),
  line(3, '½', 'oz', 'quince liqueur', 15, 24),
  line(4, '¾', 'oz', 'lemon juice', 22.5, null, { clash: true, or: '20 ml' }),
  line(5, '½', 'oz', 'honey syrup, 2:1', 15, null),
  line(6, '2', 'dash', 'orange bitters', 1.8, 45, { estimate: true }),
];
const sodaLine = line(7, '', 'top', 'soda', null, null, { open: 'top' });

const specRow = (n: number, name: string, more: Partial<SpecRow> = {}): SpecRow => ({
  id: id(n),
  name,
  benchmark: false,
  parent: id(10),
  poured: 0,
  last_day: null,
  best_x10: null,
  clash: false,
  changed: '',
  ...more,
});
const orchard: SpecRow[] = [
  specRow(10, '', { benchmark: true, parent: null, poured: 6, last_day: '2026-05-15', best_x10: 75, clash: true }),
  specRow(11, 'Soft floral gin', {
    poured: 2,
    last_day: '2026-05-15',
    best_x10: 80,
    changed: 'soft floral gin for juniper-heavy gin',
  }),
  specRow(12, 'Verjus for half the lemon', {
    poured: 1,
    last_day: '2026-05-02',
    best_x10: 70,
    changed: 'verjus for lemon juice',
  }),
  specRow(13, 'Bitter: gentian, 5 ml', { parent: id(12), changed: 'gentian, 5 ml, added' }),
];

export const specs: SpecsAnswer = {
  drinks: [
    { id: id(1), name: 'Orchard Sour', family: 'sour', specs: orchard },
    {
      id: id(2),
      name: 'Hedge Row Fizz',
      family: '',
      specs: [specRow(20, '', { benchmark: true, parent: null, poured: 1, last_day: '2026-04-12' })],
    },
    {
      id: id(3),
      name: 'A name as long as forty letters can be, so',
      family: '',
      specs: [specRow(30, 'Birnenbrand, doppelt gebrannt, fassgelagert', { parent: null })],
    },
  ],
  loose: [specRow(40, 'House amaro and soda', { parent: null, poured: 1, last_day: '2026-05-11' })],
};

const specClash: Clash = {
  id: id(104),
  kind: 'line',
  field: 'typed',
  title: 'Orchard Sour, lemon juice',
  joinable: false,
  values: [
    {
      stamp: 'aaaaaaaaaaa.7',
      text: '¾ oz lemon juice',
      device: 'bar phone',
      at_ms: evening - 60_000,
      shown: true,
      effect: { acid_percent: 0.83, alcohol_g: 21.3 },
    },
    {
      stamp: 'bbbbbbbbbbb.2',
      text: '20 ml lemon juice',
      device: 'kitchen laptop',
      at_ms: evening + 36_000_000,
      shown: false,
      effect: { acid_percent: 0.76, alcohol_g: 21.3 },
    },
  ],
};
const noteClash: Clash = {
  id: id(10),
  kind: 'spec',
  field: 'note',
  title: 'Orchard Sour, benchmark',
  joinable: true,
  values: [
    {
      stamp: 'aaaaaaaaaaa.9',
      text: 'Pear first, then dry. Bay only on the nose.',
      device: 'bar phone',
      at_ms: evening,
      shown: true,
      effect: {},
    },
    {
      stamp: 'bbbbbbbbbbb.3',
      text: 'Needs a colder glass. Lemon a touch loud.',
      device: 'kitchen laptop',
      at_ms: evening + 36_060_000,
      shown: false,
      effect: {},
    },
  ],
};
const scoreClash: Clash = {
  id: id(51),
  kind: 'pour',
  field: 'score_x10',
  title: 'Orchard Sour, Friday 15 May',
  joinable: false,
  values: [
    { stamp: 'aaaaaaaaaaa.11', text: '7.5', device: 'bar phone', at_ms: evening, shown: true, effect: {} },
    { stamp: 'bbbbbbbbbbb.4', text: '8', device: '', at_ms: evening + 36_060_000, shown: false, effect: {} },
  ],
};

export const spec: SpecView = {
  id: id(10),
  drink: id(1),
  drink_name: 'Orchard Sour',
  name: '',
  benchmark: true,
  parent: null,
  method: 'shaken',
  ice: 'cubes',
  glass: 'coupe, up',
  garnish: 'bay leaf',
  strain: '',
  note: 'Pear first, then dry. Bay only on the nose.',
  part_ul: null,
  total_ul: null,
  lines,
  balance,
  alcohol: alcohol(2.1),
  unit,
  poured: 6,
  last_day: '2026-05-15',
  tree: [
    { row: orchard[0]!, depth: 0 },
    { row: orchard[1]!, depth: 1 },
    { row: orchard[2]!, depth: 1 },
    { row: orchard[3]!, depth: 2 },
  ],
  clashes: [specClash, noteClash],
  cost: [{ currency: 'EUR', minor: 284, partial: true }],
  cautions,
};

const riff: SpecView = {
  ...spec,
  id: id(11),
  name: 'Soft floral gin',
  benchmark: false,
  parent: id(10),
  note: '',
  clashes: [],
  poured: 0,
  last_day: null,
  garnish: '',
  cost: [],
  cautions: [],
  lines: [
    line(1, '1¼', 'oz', 'soft floral gin', 37.5, 41.5, { changed: true }),
    ...lines.slice(1).map((it) => ({ ...it, clash: false, or: null })),
    sodaLine,
  ],
};
const loose: SpecView = {
  ...spec,
  id: id(40),
  drink: null,
  drink_name: '',
  name: 'House amaro and soda',
  benchmark: false,
  method: 'built',
  ice: '',
  glass: '',
  garnish: '',
  note: '',
  clashes: [],
  cost: [],
  cautions: [],
  balance: doubtful,
  alcohol: alcohol(1.4, { at_least: true }),
  poured: 1,
  last_day: '2026-05-11',
  tree: [],
  lines: [line(8, '45', 'ml', 'house amaro', 45, null), { ...sodaLine, volume_ml: null }],
};

const pourRow = (
  n: number,
  time: string,
  day: string,
  name: string,
  drinks: number,
  more: Partial<PourRow> = {},
): PourRow => ({
  id: id(n),
  at_ms: evening,
  time,
  day,
  name,
  version: '',
  benchmark: false,
  plain: false,
  share_bp: 10000,
  score_x10: null,
  alcohol: alcohol(drinks),
  note: '',
  tags: [],
  spec: id(10),
  drink: id(1),
  clash: false,
  deleted_changed: false,
  about: false,
  utc: '',
  mark: '',
  ...more,
});
const plainPour = { plain: true, spec: null, drink: null } as const;

const pours: PourRow[] = [
  pourRow(51, '20:52', '2026-05-15', 'Orchard Sour', 1.1, {
    version: 'benchmark',
    benchmark: true,
    share_bp: 5000,
    score_x10: 75,
    note: 'Pear first, then dry.',
    tags: ['pear', 'drying'],
    clash: true,
  }),
  pourRow(52, '22:04', '2026-05-15', 'Orchard Sour', 2.1, { version: 'Soft floral gin', spec: id(11) }),
];

const weekLine = (state: Guideline['state']): Guideline => ({
  issuer: 'NHMRC, Australian Guidelines to Reduce Health Risks from Drinking Alcohol, 2020 (DS14)',
  year: 2020,
  status: 'current',
  comparator: 'at_most',
  limit: 10,
  unit: 'standard drink',
  period: 'week',
  group: 'adults',
  state,
  note: '',
  spread_days: 0,
  reached: state === 'above',
  amount: state === 'above' ? 11.7 : 2,
});
const dayLine = (state: Guideline['state']): Guideline => ({
  ...weekLine(state),
  limit: 4,
  period: 'day',
  amount: 5.3,
});

export const tonight: Tonight = {
  unit,
  now_day: '2026-05-15',
  session: {
    since_ms: evening,
    since: '20:52',
    totals: { alcohol: alcohol(3.2), pours: 2 },
    pace_per_hour: 2.7,
    peak_two_hours: 3.2,
    since_last_min: 18,
    pours,
    gaps_min: [72],
  },
  ended: null,
  quiet: false,
  heavy: false,
  water_ml: 250,
  again: {
    pour: id(52),
    spec: id(11),
    name: 'Orchard Sour',
    version: 'Soft floral gin',
    plain: false,
    would_bring: alcohol(5.3),
    passes: [dayLine('above')],
  },
  plains: [
    {
      id: id(61),
      name: 'A glass of wine',
      volume_ml: 150,
      abv_percent: 12.5,
      would_bring: alcohol(4.7),
      passes: [dayLine('above')],
    },
    {
      id: id(62),
      name: 'A pint',
      volume_ml: 568,
      abv_percent: 4.5,
      would_bring: alcohol(5.2),
      passes: [dayLine('above')],
    },
    {
      id: id(63),
      name: 'A glass of cider',
      volume_ml: 330,
      abv_percent: null,
      would_bring: alcohol(3.2, { at_least: true }),
      passes: [],
    },
  ],
  specs: [
    { id: id(10), name: 'Orchard Sour', version: 'benchmark', would_bring: alcohol(5.3), passes: [dayLine('above')] },
    {
      id: id(11),
      name: 'Orchard Sour',
      version: 'Soft floral gin',
      would_bring: alcohol(5.2),
      passes: [dayLine('above')],
    },
    {
      id: id(12),
      name: 'Orchard Sour',
      version: 'Verjus for half the lemon',
      would_bring: alcohol(5.3),
      passes: [dayLine('above')],
    },
    { id: id(20), name: 'Hedge Row Fizz', version: '', would_bring: alcohol(3.2), passes: [] },
  ],
  clashes: 2,
};

/** One pour and nothing more; and a long evening on a night the clocks go back. */
const oneTonight: Tonight = {
  ...tonight,
  session: {
    ...tonight.session!,
    totals: { alcohol: alcohol(1.1), pours: 1 },
    pace_per_hour: null,
    peak_two_hours: 1.1,
    since_last_min: 0,
    pours: pours.slice(0, 1),
    gaps_min: [],
  },
};
const nineTonight: Tonight = {
  ...tonight,
  session: {
    ...tonight.session!,
    since: '19:10',
    totals: { alcohol: alcohol(9.4), pours: 9 },
    since_last_min: 169,
    pours: ['19:10', '19:52', '20:40', '21:31', '22:04', '23:20', '01:10', '02:30', '02:30'].map((time, i) =>
      pourRow(310 + i, time, '2026-05-15', i % 3 === 2 ? 'A pint' : 'Orchard Sour', 1.1, {
        utc: i < 8 ? 'UTC+2' : 'UTC+1',
        ...(i % 3 === 2 ? plainPour : { version: 'benchmark', benchmark: true }),
      }),
    ),
    gaps_min: [42, 48, 51, 33, 76, 110, 80, 60],
  },
};
const endedTonight: Tonight = {
  ...tonight,
  session: null,
  ended: { since: '20:52', until: '00:20', totals: { alcohol: alcohol(5.3), pours: 3 } },
};

const nothingTonight: Tonight = { ...tonight, session: null, water_ml: 0, again: null, specs: [], clashes: 0 };

const terms = [
  'pear',
  'quince',
  'rose',
  'juniper',
  'too sweet',
  'drying',
  'long',
  'bitter',
  'sharp',
  'round',
  'honey',
  'lemon',
  'bay',
];

function journal(days: number, text: string): Answers['journal'] {
  const all: Answers['journal']['days'] = [
    {
      day: '2026-05-15',
      alcohol: alcohol(3.2),
      sessions: [{ since: '20:52', until: '22:04', alcohol: alcohol(3.2), pours }],
    },
    {
      day: '2026-05-14',
      alcohol: alcohol(1.2),
      sessions: [
        {
          since: '19:10',
          until: '19:10',
          alcohol: alcohol(1.2),
          pours: [pourRow(53, '19:10', '2026-05-14', 'A glass of cider', 1.2, plainPour)],
        },
      ],
    },
    {
      day: '2026-05-12',
      alcohol: alcohol(3.5, { at_least: true, or_drinks: 4.1 }),
      sessions: [
        {
          since: '13:05',
          until: '13:05',
          alcohol: alcohol(1.4, { at_least: true }),
          pours: [
            pourRow(54, '13:05', '2026-05-12', 'House amaro and soda', 1.4, {
              alcohol: alcohol(1.4, { at_least: true }),
              spec: id(40),
              drink: null,
            }),
          ],
        },
        {
          since: '22:40',
          until: '00:50',
          alcohol: alcohol(2.1),
          pours: [
            pourRow(55, '22:40', '2026-05-12', 'Orchard Sour', 0, {
              version: 'Verjus for half the lemon',
              share_bp: 0,
            }),
            pourRow(56, '00:50', '2026-05-12', 'A pint', 2.1, { ...plainPour, deleted_changed: true }),
          ],
        },
      ],
    },
  ];
  const kept = all.filter((day) => text === '' || JSON.stringify(day).toLowerCase().includes(text.toLowerCase()));
  return { unit, days: kept.slice(0, days), total: 6, more: days < 60 && text === '', counting: false };
}

function pour(which: string): PourView {
  const row =
    [...pours, ...journal(60, '').days.flatMap((day) => day.sessions.flatMap((session) => session.pours))].find(
      (it) => it.id === which,
    ) ?? pours[0]!;
  return {
    pour: row,
    unit,
    lines: row.plain ? [] : row.spec === id(40) ? loose.lines : lines.map((it) => ({ ...it, clash: false, or: null })),
    method: row.plain ? '' : 'shaken',
    ice: row.plain ? '' : 'cubes',
    balance: row.plain ? null : row.spec === id(40) ? doubtful : balance,
    volume_ml: row.plain ? 330 : 166,
    abv_percent: row.plain ? 4.5 : 17,
    clashes: row.clash ? [scoreClash] : [],
    offset_min: 600,
    zone: 'Australia/Sydney',
    mark: '',
    score_scale: '',
    terms,
  };
}

const dayRow = (
  day: string,
  weekday: number,
  drinks: number | null,
  state: DayRow['state'],
  what: DayRow['what'] = [],
  future = false,
): DayRow => ({ day, weekday, alcohol: drinks === null ? null : alcohol(drinks), state, what, future });
const sunday = dayRow('2026-05-10', 7, 3.1, 'drunk', [{ name: 'a glass of wine', n: 2 }]);
const monToSat: DayRow[] = [
  dayRow('2026-05-11', 1, 0, 'free'),
  dayRow('2026-05-12', 2, 2.1, 'drunk', [{ name: 'a pint', n: 1 }]),
  dayRow('2026-05-13', 3, null, 'nothing'),
  dayRow('2026-05-14', 4, 1.2, 'drunk', [{ name: 'a glass of cider', n: 1 }]),
  dayRow('2026-05-15', 5, 5.3, 'drunk', [{ name: 'Orchard Sour', n: 3 }]),
  dayRow('2026-05-16', 6, null, 'nothing'),
];
const sessionRow = (
  n: number,
  day: string,
  since: string,
  until: string,
  drinks: number,
  pours_: number,
  more: Partial<SessionRow> = {},
): SessionRow => ({
  id: id(n),
  day,
  since,
  until,
  alcohol: alcohol(drinks),
  pours: pours_,
  pace_per_hour: null,
  peak_two_hours: drinks,
  hours: pours_ > 1 ? 2.4 : 0,
  mark: '',
  ...more,
});
export const week: WeekAnswer = {
  unit,
  now_day: '2026-05-16',
  session: { alcohol: alcohol(3.2), pours: 2 },
  last_seven: {
    from: '2026-05-10',
    to: '2026-05-16',
    totals: { alcohol: alcohol(11.7), pours: 7 },
    drinking: 4,
    free: 1,
    nothing: 2,
    days: [sunday, ...monToSat],
  },
  calendar: {
    name: '2026-W20',
    from: '2026-05-11',
    to: '2026-05-17',
    totals: { alcohol: alcohol(8.6), pours: 5 },
    drinking: 3,
    free: 1,
    nothing: 2,
    days: [...monToSat, dayRow('2026-05-17', 7, null, 'nothing', [], true)],
  },
  four_week_mean: alcohol(7.9),
  sessions: [
    sessionRow(51, '2026-05-15', '20:52', '00:20', 5.3, 3, { pace_per_hour: 1.5, peak_two_hours: 3.2 }),
    sessionRow(53, '2026-05-14', '19:10', '19:10', 1.2, 1),
    sessionRow(56, '2026-05-12', '00:50', '00:50', 2.1, 1, { mark: 'split' }),
    sessionRow(57, '2026-05-10', '18:30', '19:40', 3.1, 2, { pace_per_hour: 2.7, peak_two_hours: 3.1 }),
  ],
  heavy: false,
  guidance: [weekLine('above'), dayLine('above')],
  on_file: true,
  country: 'AU',
  quiet: false,
  day_start_min: 300,
  checked: '2026-11',
  checked_old: false,
};
const none = { totals: { alcohol: alcohol(0), pours: 0 }, drinking: 0, free: 0 };
const blank = (it: DayRow): DayRow => ({ ...it, alcohol: null, state: 'nothing', what: [] });
const emptyWeek: WeekAnswer = {
  ...week,
  session: null,
  four_week_mean: alcohol(0),
  guidance: [weekLine('below'), dayLine('below')],
  sessions: [],
  last_seven: { ...week.last_seven, ...none, nothing: 7, days: week.last_seven.days.map(blank) },
  calendar: { ...week.calendar, ...none, nothing: 6, days: week.calendar.days.map(blank) },
};
const monday = Date.UTC(2026, 4, 11);
const dayAt = (ms: number): string => new Date(ms).toISOString().slice(0, 10);
const weekName = (n: number): string =>
  n > 0 ? `2026-W${String(n).padStart(2, '0')}` : `2025-W${String(n + 52).padStart(2, '0')}`;
const weeks = (n: number): WeeksAnswer => ({
  unit,
  day_start_min: 300,
  weeks: Array.from({ length: n }, (_, i) => {
    const from = monday - (n - 1 - i) * 7 * 86_400_000;
    const span = { from: dayAt(from), to: dayAt(from + 6 * 86_400_000) };
    return i === n - 1
      ? { ...week.calendar, ...span }
      : {
          ...span,
          name: weekName(20 - (n - 1 - i)),
          totals: { alcohol: alcohol([6.4, 9.8, 3.2, 12.1][i % 4]!), pours: 5 },
          drinking: 3,
          free: 2,
          nothing: 2,
        };
  }),
  mean: n > 1 ? alcohol(7.9) : null,
});
const guess = (
  id_: string,
  name: string,
  ml: number,
  abv: number,
  lo: number,
  hi: number,
): GuessesAnswer['rows'][0] => ({
  id: id_,
  name,
  volume_ml: ml,
  abv_percent: abv,
  lo,
  hi,
  alcohol: alcohol(Math.round((ml * abv * 0.789) / 100) / 10, { about: true }),
  would_bring: alcohol(3.2 + Math.round((ml * abv * 0.789) / 100) / 10, { about: true }),
  passes: ml > 160 ? [dayLine('above')] : [],
  marking: lo === hi ? 'common practice' : 'from memory (unverified)',
});
const guesses: GuessesAnswer = {
  unit,
  rows: [
    guess('shaken', 'shaken', 167, 17.4, 15, 19.7),
    guess('stirred', 'stirred', 136, 25, 21, 29),
    guess('wine', 'glass of wine', 150, 12.5, 12.5, 12.5),
  ],
};
/** A country that splits its lines, one of them dated. */
const splitWeek: WeekAnswer = {
  ...week,
  unit: { ...unit, country: 'NZ' },
  guidance: (['women', 'men'] as const).flatMap((group, i) => [
    {
      ...weekLine(i === 0 ? 'above' : 'below'),
      issuer: 'Health NZ',
      year: 2011,
      status: 'current_dated',
      group,
      limit: [10, 15][i]!,
    },
    { ...dayLine('above'), issuer: 'Health NZ', year: 2011, status: 'current_dated', group, limit: [2, 3][i]! },
  ]),
};

const bottles: Answers['bottles'] = {
  rows: [
    {
      id: id(71),
      name: 'juniper-heavy gin',
      ingredient: id(201),
      size_ml: 700,
      left_ml: 410,
      opened_on: '2026-04-20',
      finished_on: null,
      price_minor: 3490,
      currency: 'EUR',
      abv_percent: 47,
      clash: false,
    },
    {
      id: id(72),
      name: 'soft floral gin',
      ingredient: id(211),
      size_ml: 500,
      left_ml: 320,
      opened_on: '2026-05-01',
      finished_on: null,
      price_minor: 2890,
      currency: 'EUR',
      abv_percent: 41.5,
      clash: false,
    },
    {
      id: id(73),
      name: 'pear eau-de-vie, cask-rested, from a small still',
      ingredient: id(202),
      size_ml: 350,
      left_ml: 35,
      opened_on: '2026-02-14',
      finished_on: null,
      price_minor: null,
      currency: '',
      abv_percent: 43,
      clash: true,
    },
    {
      id: id(74),
      name: 'house amaro',
      ingredient: id(212),
      size_ml: null,
      left_ml: null,
      opened_on: null,
      finished_on: null,
      price_minor: null,
      currency: '',
      abv_percent: null,
      clash: false,
    },
    {
      id: id(75),
      name: 'honey syrup, 2:1',
      ingredient: id(205),
      size_ml: 250,
      left_ml: 0,
      opened_on: '2026-05-08',
      finished_on: '2026-05-15',
      price_minor: 0,
      currency: 'EUR',
      abv_percent: 0,
      clash: false,
    },
  ],
};

const side: SideAnswer = {
  drinks: [
    {
      id: id(1),
      name: 'Orchard Sour',
      rows: [
        { spec: id(10), name: '', benchmark: true, tasted: 4, scores_x10: [70, 75, 75, 80], last_day: '2026-05-15' },
        {
          spec: id(11),
          name: 'Soft floral gin',
          benchmark: false,
          tasted: 2,
          scores_x10: [80, 85],
          last_day: '2026-05-15',
        },
        {
          spec: id(12),
          name: 'Verjus for half the lemon',
          benchmark: false,
          tasted: 1,
          scores_x10: [70],
          last_day: '2026-05-02',
        },
        { spec: id(13), name: 'Bitter: gentian, 5 ml', benchmark: false, tasted: 0, scores_x10: [], last_day: null },
      ],
    },
    {
      id: id(2),
      name: 'Hedge Row Fizz',
      rows: [{ spec: id(20), name: '', benchmark: true, tasted: 0, scores_x10: [], last_day: '2026-04-12' }],
    },
  ],
};

const keeper: KeeperAnswer = {
  settings: {
    country: 'AU',
    units: 'oz',
    oz_kind: 'bar',
    day_start_min: 300,
    week_start: 'iso',
    dash_ul: 900,
    barspoon_ul: 5000,
    own_day_drinks_x10: null,
    own_week_drinks_x10: 80,
    quiet: false,
  },
  countries: [
    { code: 'AU', name: 'Australia', unit: 'standard drink', grams: 10 },
    { code: 'DE', name: 'Germany', unit: 'Standardglas', grams: 10 },
    { code: 'GB', name: 'United Kingdom', unit: 'unit', grams: 7.89 },
    { code: 'US', name: 'United States', unit: 'standard drink', grams: 14 },
    { code: 'WHO', name: 'WHO', unit: 'standard drink', grams: 10 },
  ],
  counts: { drinks: 3, specs: 6, pours: 41, bottles: 5 },
  clashes: [specClash, noteClash, scoreClash],
  needs_look: [{ id: id(40), kind: 'spec', title: 'House amaro and soda', code: 'ingredient_deleted' }],
  trash: [
    { id: id(81), kind: 'pour', title: 'A pint', day: '2026-05-09' },
    { id: id(82), kind: 'spec', title: 'Orchard Sour, too much honey', day: '2026-05-02' },
  ],
};

function sheet(swapped: boolean, share: number): PourSheet {
  return {
    spec,
    alcohol: alcohol((2.1 * share) / 10000),
    would_bring: alcohol(Math.round(32 + (21 * share) / 10000) / 10),
    passes: share > 5000 ? [dayLine('above')] : [],
    terms,
    swaps: [
      {
        line: id(101),
        line_name: swapped ? 'soft floral gin' : 'juniper-heavy gin',
        amount: '1¼',
        unit: 'oz',
        choices: [
          { ingredient: id(201), name: 'juniper-heavy gin', abv_percent: 47, left_ml: 410, as_written: true },
          { ingredient: id(211), name: 'soft floral gin', abv_percent: 41.5, left_ml: 320, as_written: false },
          { ingredient: id(213), name: 'citrus-led gin', abv_percent: 44, left_ml: 90, as_written: false },
        ],
      },
      {
        line: id(102),
        line_name: 'pear eau-de-vie',
        amount: '½',
        unit: 'oz',
        choices: [
          { ingredient: id(202), name: 'pear eau-de-vie', abv_percent: 42, left_ml: null, as_written: true },
          { ingredient: id(214), name: 'cask-rested pear eau-de-vie', abv_percent: 43, left_ml: 35, as_written: false },
        ],
      },
    ],
  };
}

/** Enough of a reader to see the editor: an amount, a unit, a name, perhaps a strength. */
function draft(typed: readonly string[]): DraftAnswer {
  const read = typed.map((text): DraftAnswer['lines'][number] => {
    const plain = /^([\d¼½¾.,/ ]+)\s*(ml|oz|dash|dashes)\s+(.+?)(?:,\s*(\d+(?:[.,]\d+)?)\s*(%|proof))?$/.exec(
      text.trim(),
    );
    if (/\b1\d\d$/.test(text))
      return {
        ok: false,
        refusal: {
          code: 'proof_or_percent',
          field: 'typed',
          text: '140 is more than 100, so it cannot be % vol: write “140 proof” if it is US proof (70 % vol) or “140 uk proof” if it is British (80 % vol)',
        },
      };
    if (!plain)
      return {
        ok: false,
        refusal: { code: 'no_unit', field: 'typed', text: `expected a unit such as ml or oz, got “${text}”` },
      };
    const [, amount = '', unit_ = 'ml', name = '', strength, sign] = plain;
    const abv =
      strength === undefined ? null : sign === 'proof' ? Number(strength) / 2 : Number(strength.replace(',', '.'));
    if (abv !== null && abv > 100) {
      return { ok: false, refusal: { code: 'strength', field: 'typed', text: 'expected at most 100 % vol' } };
    }
    return {
      ok: true,
      lines: [line(90, amount.trim(), unit_ === 'dashes' ? 'dash' : unit_, name, 22.5, abv, { typed: text })],
    };
  });
  const good = read.some((it) => it.ok);
  return { lines: read, balance: good ? balance : null, alcohol: good ? alcohol(2.1) : null, unit };
}

export type Scene = 'full' | 'empty' | 'split' | 'quiet' | 'one' | 'nine' | 'ended' | 'shelf';

/** The answer of a scene to a question; null where it has none. */
export function answerTo(scene: Scene, question: Question): unknown {
  const empty = scene === 'empty';
  switch (question.q) {
    case 'tonight':
      if (scene === 'quiet')
        return {
          ...tonight,
          quiet: true,
          heavy: true,
          plains: [
            {
              id: 'plain.soda',
              name: 'soda and lime',
              volume_ml: 250,
              abv_percent: 0,
              would_bring: tonight.session?.totals.alcohol,
              passes: [],
            },
            ...tonight.plains,
          ],
        };
      if (scene === 'one') return oneTonight;
      if (scene === 'nine') return nineTonight;
      if (scene === 'ended') return endedTonight;
      return empty ? nothingTonight : tonight;
    case 'journal':
      return empty
        ? { unit, days: [], total: 0, more: false, counting: false }
        : journal(question.days, question.text ?? '');
    case 'pour':
      return pour(question.id);
    case 'specs':
      return empty ? { drinks: [], loose: [] } : specs;
    case 'spec':
      return question.id === id(11) ? riff : question.id === id(40) ? loose : spec;
    case 'draft':
      return draft(question.lines);
    case 'sheet':
      return sheet(question.swap !== undefined, question.share_bp ?? 10000);
    case 'week':
      if (scene === 'quiet') return { ...week, quiet: true, heavy: true };
      return empty ? emptyWeek : scene === 'split' ? splitWeek : week;
    case 'weeks':
      return weeks(question.n);
    case 'label':
      return { day: new Date(question.at_ms + (question.offset_min - 300) * 60_000).toISOString().slice(0, 10) };
    case 'guesses':
      return guesses;
    case 'table':
      return { csv: 'day,weekday\r\n2026-05-15,5\r\n' };
    case 'adjust':
      return {
        found: true,
        step_ml: 2.5,
        changes: [{ line: id(106), name: 'honey syrup', from_ml: 15, to_ml: 12.5 }],
        balance: spec.balance,
      };
    case 'ways':
      return (
        (scene === 'shelf' && standingIn(spec, question.line, waysOf(spec, question.line, undefined))) ||
        waysOf(spec, question.line, question.ingredient)
      );
    case 'touches':
      return question.spec === id(40) ? { before: doubtful, rows: [] } : touchesOf(spec);
    case 'difference':
      return differenceOf(question.a === id(11) ? riff : spec, question.b === id(11) ? riff : spec);
    case 'batch':
      return batchOf(spec, unit, question);
    case 'syrup':
      return syrupOf(question.sugar_price_minor_per_kg !== undefined);
    case 'cut':
      return { water_ml: 360, made_ml: 1050, lost_ml: 9.9 };
    case 'infusion':
      return infusionOf(question.what, question.water_ul !== undefined);
    case 'makings':
      return empty ? { rows: [], now_day: '2026-05-15' } : makingsOf(spec.id);
    case 'calibration':
      return empty ? { rows: [] } : calibration;
    case 'bottles':
      return empty ? { rows: [] } : scene === 'shelf' ? { rows: shelfOf() } : bottles;
    case 'comparisons':
      return comparisonsOf(empty, [
        {
          id: id(1),
          name: 'Orchard Sour',
          base: spec.id,
          lines: spec.lines.map(({ id: line, name, typed }) => ({ line, name, text: typed })),
        },
      ]);
    case 'comparison':
      return plannedComparison(question.id, unit) ?? comparisonOf(question.id, unit);
    case 'plan':
      return planOf(question, scene === 'quiet', unit);
    case 'trial':
      return trialOf(question.of);
    case 'flight':
      return flightOf(question.id, compared.twelve, unit);
    case 'side':
      return empty ? { drinks: [] } : side;
    case 'clash':
      return {
        clashes: question.id === scoreClash.id ? [scoreClash] : question.id === 'none' ? [] : [specClash, noteClash],
      };
    case 'keeper':
      return empty
        ? { ...keeper, clashes: [], needs_look: [], trash: [], counts: { drinks: 0, specs: 0, pours: 0, bottles: 0 } }
        : keeper;
  }
}

export const ids = {
  spec: id(10),
  riff: id(11),
  loose: id(40),
  pour: id(51),
  plain: id(53),
  deleted: id(56),
  line: id(104),
  honey: id(105),
};
