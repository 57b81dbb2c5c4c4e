import { describe, expect, it } from 'vitest';
import { bestFirst, byPlace, keptCodes, keptHand, ownLines, restUntil, type Seat, seatAt, still } from './reckon.ts';

const seat = (pos: number, score_x10: number | null, names: string[] = []): Seat => ({
  id: `seat.${pos}`,
  pos,
  code: 100 * pos + 23,
  names,
  score_x10,
  benchmark: false,
  d: null,
  note: '',
  tags: [],
  pour: score_x10 === null ? null : `pour.${pos}`,
  ratings: [],
});
const none: ReadonlySet<string> = new Set();

describe('what goes into one glass', () => {
  const batch = [
    { name: 'lemon juice', one_ml: 5.1 },
    { name: 'gin', one_ml: 2 },
  ];

  it('is what was not made for all', () => {
    const lines = [
      { name: 'gin', ml: 8.3 },
      { name: 'gin', ml: 2.1 },
      { name: 'lemon juice', ml: 5 },
      { name: 'clear pear', ml: 3.3 },
    ];
    expect(ownLines(lines, batch)).toEqual([
      { name: 'gin', ml: 8.3 },
      { name: 'clear pear', ml: 3.3 },
    ]);
    expect(lines).toHaveLength(4);
  });

  it('is all that is said where the common lines are left out already', () => {
    expect(ownLines([{ name: 'clear pear', ml: 3.3 }], batch)).toEqual([{ name: 'clear pear', ml: 3.3 }]);
  });
});

describe('a rest', () => {
  const at = Date.UTC(2026, 4, 15, 21, 39, 20);

  it('is two to three minutes, to a whole minute', () => {
    expect(restUntil(at, at)).toBe(Date.UTC(2026, 4, 15, 21, 42));
    const sharp = Date.UTC(2026, 4, 15, 21, 40);
    expect(restUntil(sharp, sharp)).toBe(Date.UTC(2026, 4, 15, 21, 42));
  });

  it('is over when it has passed, and there is none before the first glass', () => {
    expect(restUntil(at, Date.UTC(2026, 4, 15, 21, 42))).toBeNull();
    expect(restUntil(null, at)).toBeNull();
  });
});

describe('the glass to taste', () => {
  const seats = [seat(1, 75), seat(2, null), seat(3, null)];

  it('is the first without a score', () => {
    expect(seatAt(seats, still, none)?.pos).toBe(2);
  });
  it('is not one that was just saved or passed over', () => {
    expect(seatAt(seats, still, new Set(['seat.2']))?.pos).toBe(3);
    expect(seatAt(seats, { at: null, skipped: ['seat.2'] }, none)?.pos).toBe(3);
    expect(seatAt(seats, { at: null, skipped: ['seat.2', 'seat.3'] }, none)).toBeNull();
  });
  it('is the one gone back to, scored or not', () => {
    expect(seatAt(seats, { at: 'seat.1', skipped: [] }, none)?.pos).toBe(1);
  });
  it('is kept, and what was kept by another version is not trusted', () => {
    expect(keptHand({ at: 'seat.1', skipped: ['seat.2', 3] })).toEqual({ at: 'seat.1', skipped: ['seat.2'] });
    for (const bad of [null, 'x', {}, { at: 1, skipped: [] }, { at: null, skipped: 'x' }])
      expect(keptHand(bad)).toBeNull();
  });
  it('goes by its place only half blind and covered', () => {
    expect(byPlace({ sight: 'half', revealed: false })).toBe(true);
    expect(byPlace({ sight: 'half', revealed: true })).toBe(false);
    expect(byPlace({ sight: 'blind', revealed: false })).toBe(false);
  });
});

describe('what came of a flight', () => {
  const seats = [seat(1, 65, ['dry', 'pear']), seat(2, null, ['soft', 'pear']), seat(3, 80, ['salty', 'pear'])];

  it('come best first, what has no score last', () => {
    expect(bestFirst(seats).map((it) => it.pos)).toEqual([3, 1, 2]);
  });
});

describe('codes found under the glasses', () => {
  it('are kept when each is one of the flight, once', () => {
    expect(keptCodes([263, 417], [417, 825, 263])).toEqual([263, 417]);
    expect(keptCodes([], [417])).toEqual([]);
    for (const bad of [[263, 263], [999], ['417'], null]) expect(keptCodes(bad, [417, 825, 263])).toBeNull();
  });
});
