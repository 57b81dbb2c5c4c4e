import { readNumber } from './read-number.ts';

/** Days to keep something: null when none are noted, undefined when it is no number of days. */
export function keepDays(text: string): number | null | undefined {
  if (text.trim() === '') return null;
  const n = readNumber(text);
  return n === null || n <= 0 || !Number.isInteger(n) ? undefined : n;
}
