import type { FlightAnswer, Id, Ms } from '../../../shared/core.ts';

export type Seat = FlightAnswer['seats'][number];
type Amount = { name: string; ml: number };

/** What goes into one glass beside what was made for all of them. */
export function ownLines(lines: readonly Amount[], batch: readonly { name: string; one_ml: number }[]): Amount[] {
  const rest = [...lines];
  for (const it of batch) {
    const same = rest.filter(({ name }) => name === it.name);
    const nearest = same.sort((a, b) => Math.abs(a.ml - it.one_ml) - Math.abs(b.ml - it.one_ml))[0];
    if (nearest) rest.splice(rest.indexOf(nearest), 1);
  }
  return rest;
}

const minuteMs = 60_000;

/** Two minutes after the last glass, on the next whole minute: two to three. Null when that has passed. */
export function restUntil(lastMs: Ms | null, nowMs: Ms): Ms | null {
  if (lastMs === null) return null;
  const until = Math.ceil((lastMs + 2 * minuteMs) / minuteMs) * minuteMs;
  return until > nowMs ? until : null;
}

/** Where the hand is in a flight: the glass it went to, and those it passed over. Kept on the device. */
export interface Hand {
  at: Id | null;
  skipped: readonly Id[];
}

export const still: Hand = { at: null, skipped: [] };

export function keptHand(it: unknown): Hand | null {
  if (typeof it !== 'object' || it === null || !('at' in it) || !('skipped' in it)) return null;
  const { at, skipped } = it;
  if ((at !== null && typeof at !== 'string') || !Array.isArray(skipped)) return null;
  return { at, skipped: skipped.filter((id): id is Id => typeof id === 'string') };
}

/** The glass that was gone to, else the first without a score that was not passed over; null when there is none. */
export function seatAt(seats: readonly Seat[], hand: Hand, saved: ReadonlySet<Id>): Seat | null {
  const chosen = seats.find(({ id }) => id === hand.at);
  if (chosen) return chosen;
  return seats.find((it) => !isScored(it, saved) && !hand.skipped.includes(it.id)) ?? null;
}

/** `saved`: glasses whose score lies on the disk while the newest answer is on its way. */
export const isScored = (seat: Seat, saved: ReadonlySet<Id>): boolean => seat.score_x10 !== null || saved.has(seat.id);

/** Half blind the codes are out of sight, so a glass goes by its place until it is looked under. */
export const byPlace = ({ sight, revealed }: Pick<FlightAnswer, 'sight' | 'revealed'>): boolean =>
  sight === 'half' && !revealed;

/** The glasses best first, those without a score last. */
export const bestFirst = (seats: readonly Seat[]): Seat[] =>
  [...seats].sort((a, b) => (b.score_x10 ?? -1) - (a.score_x10 ?? -1) || a.pos - b.pos);

/** The codes found so far as they were kept; each of the flight's once, in the order of the places. */
export function keptCodes(it: unknown, codes: readonly number[]): number[] | null {
  if (!Array.isArray(it)) return null;
  const found: number[] = [];
  for (const code of it) {
    if (typeof code !== 'number' || !codes.includes(code) || found.includes(code)) return null;
    found.push(code);
  }
  return found;
}
