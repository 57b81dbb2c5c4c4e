import { expect, test } from 'vitest';
import { firstOf, tableName } from './span.ts';

test('a span of days ends with its last and counts both ends', () => {
  expect(firstOf('2026-05-15', 1)).toBe('2026-05-15');
  expect(firstOf('2026-05-15', 7)).toBe('2026-05-09');
  expect(firstOf('2026-03-01', 2)).toBe('2026-02-28');
  expect(firstOf('2026-10-26', 7)).toBe('2026-10-20'); // a week in which clocks change is seven days all the same
  expect(firstOf('2026-05-15', 371)).toBe('2025-05-10');
});

test('the file is named by what is in it', () => {
  expect(tableName('days', '2026-05-09', '2026-05-15')).toBe('fair-measure-days-2026-05-09-to-2026-05-15.csv');
});
