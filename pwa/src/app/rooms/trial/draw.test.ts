import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { drawn, fewest, least, oddOf, outcomeOf, Seeds } from './draw.ts';

interface Check {
  id: string;
  expected: Record<string, unknown>;
}
const checks = JSON.parse(
  readFileSync(new URL('../../../../../testdata/reference/comparison_checks.json', import.meta.url), 'utf8'),
) as { checks: Check[] };
const expected = (id: string) => {
  const found = checks.checks.find((it) => it.id === id);
  if (!found) throw new Error(`there is no check ${id}`);
  return found.expected;
};

describe('the draw', () => {
  it('plan-03-splitmix64', () => {
    for (const seed of [1234567, 0]) {
      const want = expected('plan-03-splitmix64')[`out_${seed}`] as string[];
      const seeds = new Seeds(BigInt(seed));
      expect(want.map(() => String(seeds.next()))).toEqual(want);
    }
  });

  it('plan-04-shuffle-codes', () => {
    expect(new Seeds(20240611n).shuffled([0, 1, 2, 3, 4, 5])).toEqual(expected('plan-04-shuffle-codes').order);
  });

  it('is the same for the same seed, and another for another', () => {
    expect(drawn('triangle', '42', 5)).toEqual(drawn('triangle', '42', 5));
    const some = (seed: string) =>
      [0, 1, 2, 3, 4, 5].flatMap((n) => drawn('triangle', seed, n).map(({ code }) => code));
    expect(some('42')).not.toEqual(some('43'));
  });

  it('gives each order of a pair once in two, of a triangle once in six', () => {
    const order = (sort: 'paired' | 'triangle', n: number) =>
      drawn(sort, '7', n)
        .map((it) => it.of)
        .join('');
    for (const from of [0, 2, 4])
      expect([order('paired', from), order('paired', from + 1)].sort()).toEqual(['ab', 'ba']);
    for (const from of [0, 6])
      expect([0, 1, 2, 3, 4, 5].map((n) => order('triangle', from + n)).sort()).toEqual([
        'aab',
        'aba',
        'abb',
        'baa',
        'bab',
        'bba',
      ]);
  });

  it('gives codes of three different digits, none twice', () => {
    const codes = Array.from({ length: 40 }, (_, n) => drawn('triangle', '9', n)).flatMap((all) =>
      all.map((it) => it.code),
    );
    expect(new Set(codes).size).toBe(120);
    for (const code of codes) expect(new Set(String(code)).size).toBe(3);
  });
});

describe('what a choice comes to', () => {
  const three = [
    { code: 417, of: 'a' },
    { code: 825, of: 'b' },
    { code: 263, of: 'a' },
  ] as const;

  it('found is the glass that stands alone', () => {
    expect(oddOf(three)).toBe(825);
    expect(outcomeOf('triangle', three, 825)).toBe('found');
    expect(outcomeOf('triangle', three, 263)).toBe('missed');
  });
  it('of a pair it is the one that was in that glass', () => {
    const pair = [
      { code: 417, of: 'b' },
      { code: 825, of: 'a' },
    ] as const;
    expect(outcomeOf('paired', pair, 417)).toBe('b');
    expect(outcomeOf('paired', pair, 825)).toBe('a');
  });
});

describe('the least that can show anything', () => {
  // ISO 4120 as reproduced in FAO V7180E, appendix A, 5 %; ISO 5495 two-sided, from the binomial distribution.
  it.each([
    [5, 4],
    [6, 5],
    [7, 5],
    [8, 6],
    [9, 6],
    [10, 7],
    [11, 7],
    [12, 8],
    [13, 8],
    [14, 9],
    [15, 9],
    [16, 9],
    [17, 10],
    [18, 10],
    [20, 11],
    [24, 13],
    [30, 15],
  ])('of %i triangles %i', (n, k) => {
    expect(least('triangle', n)).toBe(k);
  });
  it.each([
    [6, 6],
    [7, 7],
    [8, 8],
    [9, 8],
    [10, 9],
    [12, 10],
    [15, 12],
    [20, 15],
  ])('of %i pairs %i', (n, k) => {
    expect(least('paired', n)).toBe(k);
  });
  it('is none with fewer than six pairs or three triangles', () => {
    expect(least('paired', 5)).toBeNull();
    expect(fewest('paired')).toBe(6);
    expect(fewest('triangle')).toBe(3);
  });
});
