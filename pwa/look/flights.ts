/** Invented flights, from the pour sheet to what was in the glasses. Figures are made up. */
import type { Alcohol, DrinkUnit, FlightAnswer, Id, TrialAnswer } from '../src/shared/core.ts';

export const flights = {
  planned: 'flight-planned',
  half: 'flight-half',
  seen: 'flight-seen',
  late: 'flight-late',
  blind: 'flight-blind',
  row: 'flight-row',
  scored: 'flight-scored',
  limit: 'flight-limit',
  under: 'flight-under',
  early: 'flight-early',
  over: 'flight-over',
} as const;

const alcohol = (drinks: number): Alcohol => ({
  grams: Math.round(drinks * 10),
  drinks,
  at_least: false,
  or_drinks: null,
  about: false,
});

const glasses = [
  { code: 417, gin: 'juniper-heavy gin', pear: 'clear pear' },
  { code: 825, gin: 'soft floral gin', pear: 'cask-rested pear' },
  { code: 263, gin: 'cask-rested gin of the long orchard wall, second bottling, 45 %', pear: 'clear pear' },
  { code: 938, gin: 'coastal gin, salty', pear: 'clear pear' },
] as const;
const notes = ['', 'Softer, and longer.', '', ''];
const tags = [[], ['floral', 'long'], [], ['thin']];

/** How each stands: by default begun, blind, with one glass scored. */
const stands: Record<string, Partial<FlightAnswer> & { scores?: number[] }> = {
  [flights.planned]: { state: 'planned', scores: [] },
  [flights.half]: { state: 'planned', sight: 'half', scores: [] },
  [flights.seen]: { state: 'planned', sight: 'sighted', scores: [] },
  [flights.late]: { state: 'planned', fits: false, scores: [] },
  [flights.row]: { sight: 'half', scores: [75, 60] },
  [flights.scored]: { scores: [75, 60, 80, 65], revealed: true },
  [flights.limit]: { fits: false, today: alcohol(2.4), scores: [75, 60] },
  [flights.under]: { state: 'ended', sight: 'half', uncover: true, scores: [75, 60, 80, 65] },
  [flights.early]: { state: 'ended', revealed: true, scores: [75, 60] },
  [flights.over]: { state: 'ended', sight: 'half', revealed: true, scores: [75, 80, 60, 65] },
};

export function flightOf(id: Id, comparison: Id, unit: DrinkUnit): FlightAnswer {
  const { scores = [75], ...how } = stands[id] ?? {};
  const flight: FlightAnswer = {
    id,
    comparison,
    name: 'Orchard Sour',
    state: 'running',
    sight: 'blind',
    pour_ml: 20,
    limit_drinks: 2,
    today: alcohol(0.5),
    unit,
    revealed: false,
    uncover: false,
    fits: true,
    last_ms: scores.length === 0 ? null : Date.now() - 20_000,
    batch: [
      { name: 'lemon juice', one_ml: 3.2, ml: 12.8, typed: '22.5 ml lemon juice' },
      { name: 'quince liqueur', one_ml: 2.1, ml: 8.4, typed: '15 ml quince liqueur' },
      { name: 'honey syrup', one_ml: 2.1, ml: 8.4, typed: '15 ml honey syrup' },
    ],
    method: 'shaken',
    seats: [],
    key: glasses.map(({ code, gin, pear }) => ({
      code,
      names: [gin, pear],
      lines: [
        { name: gin, ml: 5.3 },
        { name: pear, ml: 2.1 },
        { name: 'lemon juice', ml: 3.2 },
        { name: 'quince liqueur', ml: 2.1 },
        { name: 'honey syrup', ml: 2.1 },
      ],
    })),
    terms: ['floral', 'citrus', 'too_sweet', 'bitter', 'long', 'thin', 'bright', 'silky', 'woody', 'salty'],
    next: scores.length < glasses.length ? scores.length + 1 : null,
    ...how,
  };
  flight.seats = glasses.map(({ code, gin, pear }, i) => ({
    id: `seat.${i}`,
    pos: i + 1,
    code,
    names: flight.revealed || flight.sight === 'sighted' ? [gin, pear] : [],
    score_x10: scores[i] ?? null,
    benchmark: (flight.revealed || flight.sight === 'sighted') && i === 0,
    d: flight.revealed && i > 0 && scores[i] !== undefined ? (scores[i] - (scores[0] ?? 0)) / 10 : null,
    note: scores[i] === undefined ? '' : (notes[i] ?? ''),
    tags: scores[i] === undefined ? [] : (tags[i] ?? []),
    pour: scores[i] === undefined ? null : `pour.${i}`,
    ratings:
      id === flights.over || id === flights.blind
        ? [{ taster: 'A friend with a rather long name', score_x10: i < 2 ? 80 - 15 * i : null, note: '' }]
        : [],
  }));
  return flight;
}

export const trialOf = (of: 'paired' | 'triangle' | 'preferred'): TrialAnswer =>
  of === 'triangle'
    ? {
        glasses: [
          { code: 862, of: 'b', outcome: 'missed' },
          { code: 425, of: 'a', outcome: 'found' },
          { code: 708, of: 'b', outcome: 'missed' },
        ],
        fewest: 3,
        needed: [
          { agree: 3, of: 3 },
          { agree: 4, of: 5 },
          { agree: 5, of: 7 },
        ],
      }
    : {
        glasses: [
          { code: 713, of: 'a', outcome: 'a' },
          { code: 658, of: 'b', outcome: 'b' },
        ],
        fewest: 6,
        needed: [
          { agree: 6, of: 6 },
          { agree: 7, of: 8 },
          { agree: 9, of: 10 },
        ],
      };
