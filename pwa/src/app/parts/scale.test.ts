import { describe, expect, it } from 'vitest';
import { openAxis, place, step, stripAxis, ticks } from './scale.ts';

describe('a measure', () => {
  it('puts the usual range into the strip', () => {
    const axis = stripAxis(15, 19.7, 42.3, 93.3, 156);
    expect(place(axis, 15)).toBeCloseTo(93.3, 6);
    expect(place(axis, 19.7)).toBeCloseTo(42.3, 6);
  });
  it('keeps short ticks four pixels apart, and never closer', () => {
    for (const [low, high] of [
      [15, 19.7],
      [5, 8.9],
      [0.76, 0.94],
      [51, 60],
      [156, 178],
      [0, 0.001],
      [1, 100000],
    ] as const) {
      const axis = stripAxis(low, high, 42.3, 93.3, 156);
      const all = [...ticks(axis).short, ...ticks(axis).long].sort((a, b) => a - b);
      expect(all.length).toBeGreaterThan(5);
      for (let i = 1; i < all.length; i++) expect(all[i]! - all[i - 1]!).toBeGreaterThan(3.85);
    }
  });
  it('steps by 1, 2 or 5 times a power of ten', () => {
    expect(step(0.09, 4)).toBeCloseTo(0.5, 12);
    expect(step(0.05, 4)).toBeCloseTo(0.2, 12);
    expect(step(1, 7)).toBe(10);
    expect(step(0.25, 4)).toBe(1);
  });
  it('has a place for every value without a usual range', () => {
    const axis = openAxis(40, 156);
    expect(place(axis, 0)).toBe(156);
    expect(place(axis, 40)).toBeGreaterThan(0);
    expect(place(openAxis(0, 156), 0)).toBe(156);
  });
});
