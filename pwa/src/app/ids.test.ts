import { describe, expect, it } from 'vitest';
import { newId } from './ids.ts';

describe('newId', () => {
  it('is 48 bits of milliseconds, then 80 random bits, in Crockford base 32', () => {
    // By hand: 0 is all zeros; 2^48-1 in 50 bits is 7, then nine 31s; 80 ones are sixteen 31s.
    expect(newId(0, new Uint8Array(10))).toBe('0'.repeat(26));
    expect(newId(2 ** 48 - 1, new Uint8Array(10).fill(255))).toBe('7' + 'Z'.repeat(25));
    expect(newId(32, new Uint8Array([0, 0, 0, 0, 0, 0, 0, 0, 0, 1]))).toBe('0000000010' + '0'.repeat(15) + '1');
    expect(newId(1, new Uint8Array([0b00001_000, 0b10_00011_0, 0, 0, 0, 0, 0, 0, 0, 0]))).toBe(
      '0000000001' + '123' + '0'.repeat(13),
    );
  });

  it('sorts by the time it was made', () => {
    const times = [0, 1, 31, 32, 1_023, 1_790_000_000_000, 1_790_000_000_001, 2 ** 48 - 1];
    const ids = times.map((ms) => newId(ms));
    expect([...ids].sort()).toEqual(ids);
  });

  it('does not repeat, and holds only its alphabet', () => {
    const ids = Array.from({ length: 5_000 }, () => newId(1_790_000_000_000));
    expect(new Set(ids).size).toBe(ids.length);
    for (const id of ids) expect(id).toMatch(/^[0-9A-HJKMNP-TV-Z]{26}$/);
  });
});
