import type { ComparisonAnswer, Finding, Intent, PlanAnswer } from '../../../shared/core.ts';
import { decimal } from '../../format.ts';
import { readNumber } from '../../parts/read-number.ts';
import { later } from '../../words.ts';

export type Sight = Extract<Intent, { do: 'flight' }>['sight'];
export const sights = ['blind', 'half', 'sighted'] as const satisfies readonly Sight[];

type Planned = PlanAnswer['seats'][number];
/** A glass of a plan that was changed by hand: what is in it, and why it is there. */
export type Seat = Pick<Planned, 'picks' | 'why' | 'gain'>;

/** What is asked for, as it is kept while it is being thought over. */
export interface Asked {
  glasses: number;
  size: string;
  sight: Sight;
  seed: string;
  /** null: as planned. */
  seats: Seat[] | null;
}

export const fewestGlasses = 2;
export const mostGlasses = 6;
const smallest = 5;
const largest = 60;

export function asked(value: unknown): Asked | null {
  if (typeof value !== 'object' || value === null) return null;
  const { glasses, size, sight, seed, seats } = value as Partial<Record<keyof Asked, unknown>>;
  if (typeof glasses !== 'number' || !(glasses >= fewestGlasses && glasses <= mostGlasses)) return null;
  if (typeof size !== 'string' || typeof seed !== 'string' || !/^\d{1,20}$/.test(seed)) return null;
  if (!sights.some((it) => it === sight)) return null;
  if (seats !== null && !(Array.isArray(seats) && seats.every((it) => typeof (it as Seat)?.picks === 'string')))
    return null;
  return value as Asked;
}

/** A glass in microlitres as typed; null when it is none between the least and the most. */
export function sizeOf(text: string): number | null {
  const ml = readNumber(text);
  return ml === null || ml < smallest || ml > largest ? null : Math.round(ml * 1000);
}

/** The next five millilitres up or down from what is typed. */
export function stepped(text: string, by: 1 | -1): string {
  const ml = readNumber(text) ?? 20;
  const next = by > 0 ? Math.floor(ml / 5) * 5 + 5 : Math.ceil(ml / 5) * 5 - 5;
  return String(Math.min(largest, Math.max(smallest, next)));
}

/** What a glass is called: its ingredients; where something may be added and is not, without it. */
export const called = (names: readonly string[]): string =>
  names.filter((it) => it !== '').join(' + ') || later.planning.nothing;

/** Why a glass is in the flight, with what was never tasted of it by name. */
export function whyOf(seat: Shown, swaps: ComparisonAnswer['swaps']): string {
  const { whys } = later.planning;
  if (seat.why === 'new') {
    const names = seat.names.filter((name, i) =>
      swaps[i]?.effects.some((it) => it.name === name && it.tasted === 0 && name !== ''),
    );
    return names.length === 0 ? whys.new : later.planning.untasted(names);
  }
  const points = seat.why === 'promise' && seat.gain !== null ? decimal(seat.gain, 1) : '';
  return points === '' || Number(seat.gain) < 0.05
    ? whys[seat.why]
    : `${whys[seat.why]} ${later.planning.gain(points)}`;
}

/** Seats as they were planned or changed, for a change by hand. */
const handed = (seats: readonly Seat[]): Seat[] => seats.map(({ picks, why, gain }) => ({ picks, why, gain }));
const own = (picks: string): Seat => ({ picks, why: 'own', gain: null });

export const replaced = (seats: readonly Seat[], was: string, picks: string): Seat[] =>
  handed(seats).map((it) => (it.picks === was ? own(picks) : it));
export const withOut = (seats: readonly Seat[], picks: string): Seat[] =>
  handed(seats).filter((it) => it.picks !== picks);
export const withOwn = (seats: readonly Seat[], picks: string): Seat[] => [...handed(seats), own(picks)];

/** What is in a glass and why. */
export type Shown = Pick<Planned, 'picks' | 'names' | 'why' | 'gain'>;

/**
 * The glasses as planned, or as changed by hand with the reasons that were kept: the core calls every glass that was named
 * to it one's own. A change shows at once, also before its sums are here.
 */
export function seatsOf(answer: PlanAnswer, changed: readonly Seat[] | null, findings: readonly Finding[]): Shown[] {
  if (changed === null) return answer.seats;
  const names = new Map([...findings, ...answer.seats].map((it) => [it.picks, it.names]));
  return changed.map((it) => ({ ...it, names: names.get(it.picks) ?? [] }));
}

/** What could stand in a flight besides what is in it. */
export const choicesOf = (findings: readonly Finding[], seats: readonly Seat[]): Finding[] =>
  findings.filter((it) => !it.benchmark && !seats.some(({ picks }) => picks === it.picks));

/** The same glasses, in whichever order. */
export const alike = (a: readonly Seat[], b: readonly Seat[]): boolean =>
  a.length === b.length && a.every(({ picks }) => b.some((it) => it.picks === picks));

/** What was drunk is at the limit before anything of the flight is. */
export const overAlready = ({ today, session, limit_drinks }: PlanAnswer): boolean =>
  Math.max(today.drinks, today.or_drinks ?? 0, session.drinks, session.or_drinks ?? 0) >= limit_drinks;
