/** Invented answers about setting a comparison up and planning a flight of it. Figures are made up. */
import type {
  Alcohol,
  Answers,
  BottlesAnswer,
  ComparisonAnswer,
  DrinkUnit,
  Id,
  Question,
  SpecView,
} from '../src/shared/core.ts';
import { comparisonOf } from './comparing.ts';

/** Comparisons with no flight set up, told apart by what comes of a plan; one that has a flight waiting. */
export const planned = {
  fits: 'plan-fits',
  added: 'plan-added',
  over: 'plan-over',
  already: 'plan-already',
  unknown: 'plan-unknown',
  heavy: 'plan-heavy',
  none: 'plan-none',
  waits: 'plan-waits',
} as const;
const all: readonly string[] = Object.values(planned);

const gin = 'gin';
const bottled: [name: string, family: string, opened: boolean, abv: number | null][] = [
  ['soft floral gin', gin, true, 43],
  ['citrus-led gin', gin, true, 44],
  ['coastal gin, salty', gin, true, 43],
  ['cask-rested gin of the long orchard wall, second bottling', gin, true, 45],
  ['old-style sweet gin', gin, true, null],
  ['pine-needle gin', gin, false, 46],
  ['cask-rested pear eau-de-vie', 'fruit spirit', true, 42],
  ['white rum', 'rum', true, 40],
  ['aged rum', 'rum', false, 43],
  ['gentian bitter', '', true, 16],
  ['quince liqueur', '', true, 20],
];
const ingredient = (name: string): Id => `ing.${name.replaceAll(' ', '_')}`;

export const shelfOf = (): BottlesAnswer['rows'] =>
  bottled.map(([name, , opened, abv]) => ({
    id: `bottle.${name.replaceAll(' ', '_')}`,
    name,
    ingredient: ingredient(name),
    size_ml: 700,
    left_ml: 400,
    opened_on: opened ? '2026-04-02' : null,
    finished_on: null,
    price_minor: 5200,
    currency: 'AUD',
    abv_percent: abv,
    clash: false,
  }));

/** Which of the shelf may stand in a line: of a spirit's, spirits with their families. */
export function standingIn(spec: SpecView, line: Id, before: Answers['ways']): Answers['ways'] | null {
  const name = spec.lines.find((it) => it.id === line)?.name ?? '';
  const family = /gin/.test(name) ? gin : /pear/.test(name) ? 'fruit spirit' : '';
  if (family === '') return null;
  return {
    ...before,
    line,
    name,
    sort: 'spirit',
    family,
    choices: bottled
      .filter(([, of]) => of !== '')
      .map(([called, of, , abv]) => ({
        ingredient: ingredient(called),
        name: called,
        abv_percent: abv,
        sugar_g_per_100ml: 0,
        acid_percent: 0,
        own: true,
        family: of,
      })),
    ways: [],
  };
}

/** null for a comparison that is none of these. */
export function plannedComparison(id: Id, unit: DrinkUnit): ComparisonAnswer | null {
  if (!all.includes(id)) return null;
  const is = comparisonOf('', unit);
  const [first, second] = is.swaps;
  if (!first || !second) return is;
  const names: ComparisonAnswer['swaps'] = [
    { ...first, line_name: 'juniper-heavy gin', addition: false },
    { ...second, line_name: 'pear eau-de-vie', addition: false },
  ];
  const [effect] = first.effects;
  const touches = ['', '5 ml gentian bitter', '2 dashes orange bitters'].map((name, i) => ({
    ...(effect as NonNullable<typeof effect>),
    name,
    ingredient: i === 0 ? '' : ingredient(name),
    candidate: `touch.${i}`,
    family: '',
    benched: i === 2,
    benchmark: i === 0,
  }));
  return {
    ...is,
    id,
    base: '01K9ZZZZZZ0000000000000010',
    swaps:
      id === planned.added
        ? [...names, { id: 'swap.2', line_name: '', amount: '', addition: true, effects: touches }]
        : names,
    flights:
      id === planned.waits
        ? [{ id: 'flight-planned', day: '2026-05-15', seats: 4, scored: 0, state: 'planned', sight: 'blind' }]
        : [],
  };
}

const alcohol = (drinks: number, more: Partial<Alcohol> = {}): Alcohol => ({
  grams: Math.round(drinks * 10),
  drinks,
  at_least: false,
  or_drinks: null,
  about: false,
  ...more,
});
const tenth = (n: number) => Math.round(n * 10) / 10;

/** A plan of so many glasses, or of the pairings named; 0.4 drinks to 20 ml. */
export function planOf(
  { id, glasses, pour_ul, seed, seats }: Extract<Question, { q: 'plan' }>,
  quiet: boolean,
  unit: DrinkUnit,
): Answers['plan'] {
  const findings = (plannedComparison(id, unit) ?? comparisonOf(id, unit)).findings;
  const whys = ['benchmark', 'leader', 'new', 'promise', 'promise', 'new'] as const;
  const lot = Number(BigInt(seed) % 3n);
  const chosen = seats
    ? seats.flatMap((it) => findings.filter(({ picks }) => picks === it))
    : findings.filter((it, i) => it.benchmark || i > lot).slice(0, glasses);
  const one = tenth((0.4 * pour_ul) / 20_000);
  const today = id === planned.already ? 2 : id === planned.over ? 1.2 : 0;
  const flight = tenth(one * chosen.length);
  const unknown = id === planned.unknown ? ['old-style sweet gin', 'Pint'] : [];
  const limit = 2;
  return {
    seats: chosen.map(({ picks, names, benchmark }, i) => ({
      picks,
      names,
      why: benchmark ? 'benchmark' : seats ? 'own' : (whys[i] ?? 'promise'),
      gain: !seats && whys[i] === 'promise' ? 0.3 : null,
      alcohol: alcohol(one),
    })),
    flight: alcohol(flight, unknown.length > 0 ? { at_least: true } : {}),
    today: alcohol(today),
    session: alcohol(today),
    limit_drinks: limit,
    limit_from: id === planned.over ? 'own_day' : 'usual',
    fits: unknown.length === 0 && today + flight <= limit,
    unknown,
    unit,
    heavy: id === planned.heavy,
    quiet,
  };
}
