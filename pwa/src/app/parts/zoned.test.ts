import { expect, test } from 'vitest';
import { knownZone, lastNight, offsetAt, read, turnBetween, wallOf } from './zoned.ts';

// The changes of clocks are those of the IANA time zone database, as Node has it.

test('an ordinary wall time has one instant', () => {
  expect(read('2026-05-15T22:04', 'Europe/Paris')).toEqual({
    is: 'one',
    at: { at_ms: Date.UTC(2026, 4, 15, 20, 4), offset_min: 120 },
  });
  expect(read('2026-05-15T22:04', 'Asia/Kathmandu')).toEqual({
    is: 'one',
    at: { at_ms: Date.UTC(2026, 4, 15, 16, 19), offset_min: 345 },
  });
});

test('where clocks go back an hour is lived twice', () => {
  expect(read('2026-10-25T02:30', 'Europe/Berlin')).toEqual({
    is: 'two',
    earlier: { at_ms: Date.UTC(2026, 9, 25, 0, 30), offset_min: 120 },
    later: { at_ms: Date.UTC(2026, 9, 25, 1, 30), offset_min: 60 },
  });
  expect(read('2026-11-01T01:15', 'America/New_York')).toEqual({
    is: 'two',
    earlier: { at_ms: Date.UTC(2026, 10, 1, 5, 15), offset_min: -240 },
    later: { at_ms: Date.UTC(2026, 10, 1, 6, 15), offset_min: -300 },
  });
  expect(read('2026-10-25T03:00', 'Europe/Berlin').is).toBe('one');
});

test('half an hour, where it is half an hour', () => {
  expect(read('2026-04-05T01:45', 'Australia/Lord_Howe').is).toBe('two');
  expect(read('2026-10-04T02:15', 'Australia/Lord_Howe').is).toBe('none');
  expect(read('2026-10-04T02:30', 'Australia/Lord_Howe').is).toBe('one');
});

test('where clocks go forward a wall time may not be', () => {
  expect(read('2026-03-29T01:30', 'Europe/London')).toEqual({ is: 'none' });
  expect(read('2026-09-06T00:00', 'America/Santiago')).toEqual({ is: 'none' }); // a date without midnight
  expect(read('2026-09-06T01:00', 'America/Santiago').is).toBe('one');
});

test('what is no time, or no zone, is not read', () => {
  expect(read('', 'Europe/Berlin')).toEqual({ is: 'unreadable' });
  expect(read('2026-02-30T10:00', 'Europe/Berlin')).toEqual({ is: 'unreadable' });
  expect(read('2026-05-15T22:04', 'Orchard/Gate')).toEqual({ is: 'unreadable' });
  expect(knownZone('Orchard/Gate')).toBe(false);
  expect(offsetAt(0, 'Orchard/Gate')).toBe(null);
});

test('hours of a whole year come back from its wall time', () => {
  for (const zone of ['Europe/Berlin', 'America/St_Johns', 'Pacific/Apia', 'Africa/Casablanca', 'UTC']) {
    for (let at = Date.UTC(2026, 0, 1); at < Date.UTC(2027, 0, 1); at += 7 * 3_600_000) {
      const offset = offsetAt(at, zone);
      if (offset === null) throw new Error(zone);
      const back = read(wallOf({ at_ms: at, offset_min: offset }), zone);
      const all = back.is === 'one' ? [back.at] : back.is === 'two' ? [back.earlier, back.later] : [];
      expect(all).toContainEqual({ at_ms: at, offset_min: offset });
    }
  }
});

test('last night is the evening of the drinking day before', () => {
  expect(lastNight(Date.UTC(2026, 4, 15, 8), 'Europe/Paris')).toBe('2026-05-14T23:00');
  expect(lastNight(Date.UTC(2026, 4, 15, 23), 'Europe/Paris')).toBe('2026-05-14T23:00'); // one at night: the 15th still runs
  expect(lastNight(Date.UTC(2026, 4, 16, 3), 'Europe/Paris')).toBe('2026-05-15T23:00'); // five in the morning: a new day
  expect(lastNight(Date.UTC(2026, 4, 15, 23), 'Europe/Paris', 0)).toBe('2026-05-15T23:00'); // days from midnight
});

test('the turn of a clock between two instants is found to the millisecond', () => {
  const turn = Date.UTC(2026, 9, 25, 1); // 03:00 becomes 02:00 in Berlin
  expect(turnBetween(turn - 90 * 60_000, turn + 45 * 60_000, 'Europe/Berlin')).toEqual({ at_ms: turn, offset_min: 60 });
  expect(turnBetween(turn - 1, turn, 'Europe/Berlin')).toEqual({ at_ms: turn, offset_min: 60 });
  const half = Date.UTC(2026, 3, 4, 15); // Lord Howe goes back by half an hour
  expect(turnBetween(half - 7_000_000, half + 5, 'Australia/Lord_Howe')).toEqual({ at_ms: half, offset_min: 630 });
});

test('a clock that does not turn in between has no turn', () => {
  const turn = Date.UTC(2026, 9, 25, 1);
  expect(turnBetween(turn, turn + 3_600_000, 'Europe/Berlin')).toBeNull();
  expect(turnBetween(turn - 3_600_000, turn - 1, 'Europe/Berlin')).toBeNull();
  expect(turnBetween(turn, turn - 3_600_000, 'Europe/Berlin')).toBeNull();
  expect(turnBetween(turn - 1, turn, 'Nowhere/AtAll')).toBeNull();
});
