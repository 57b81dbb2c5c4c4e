import { describe, expect, it } from 'vitest';
import { keepDays } from './keep-days.ts';

describe('days to keep something', () => {
  it.each([
    ['', null],
    [' ', null],
    ['14', 14],
    ['0', undefined],
    ['2.5', undefined],
    ['a week', undefined],
  ])('reads “%s” as %s', (text, days) => {
    expect(keepDays(text)).toBe(days);
  });
});
