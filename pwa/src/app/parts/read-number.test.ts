import { expect, it } from 'vitest';
import { readNumber } from './read-number.ts';

it('reads a decimal comma and a point alike, and nothing else', () => {
  expect(readNumber('22,5')).toBe(22.5);
  expect(readNumber(' 22.5 ')).toBe(22.5);
  expect(readNumber('330')).toBe(330);
  for (const text of ['', '-5', '1,000,000', '1e3', 'NaN', '5 ml', '.5', '5.'])
    expect(readNumber(text), text).toBeNull();
});
