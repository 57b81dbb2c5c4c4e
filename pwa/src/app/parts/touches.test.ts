import { describe, expect, it } from 'vitest';
import { holdMs, Touches } from './touches.ts';

/** Touches a control, and what it did is on the disk at once. */
const touch = (all: Touches, control: string, at: number, x?: number, y?: number): boolean => {
  const counts = all.take(control, x === undefined || y === undefined ? { at } : { at, x, y });
  if (counts) all.done(control);
  return counts;
};

describe('a second touch of the same control', () => {
  it.each([0, 150, 600, 1_000, 1_400, holdMs - 1])('%i ms after the first is a part of it', (after) => {
    const all = new Touches();
    expect([touch(all, 'again', 0), touch(all, 'again', after)]).toEqual([true, false]);
  });

  it.each([holdMs, 1_600, 60_000])('%i ms after the first counts', (after) => {
    const all = new Touches();
    expect([touch(all, 'again', 0), touch(all, 'again', after)]).toEqual([true, true]);
  });

  it('is measured from the last that counted, so that touching on counts every so often and not never', () => {
    const all = new Touches();
    const counted = Array.from({ length: 40 }, (_, i) => i * 100).filter((at) => touch(all, 'again', at));
    expect(counted).toEqual([0, 1_500, 3_000]);
  });

  it('waits for the disk, however long that takes', () => {
    const all = new Touches();
    expect(all.take('again', { at: 0 })).toBe(true);
    expect(all.take('again', { at: 20_000 })).toBe(false);
    all.done('again');
    expect(all.take('again', { at: 20_001 })).toBe(true);
  });

  it('is the first one when nothing was saved', () => {
    const all = new Touches();
    expect(all.take('again', { at: 0 })).toBe(true);
    all.failed('again');
    expect(touch(all, 'again', 150)).toBe(true);
  });

  it('is the first one when what the other did was taken back', () => {
    const all = new Touches();
    touch(all, 'again', 0, 100, 700);
    all.take('undo', { at: 700, x: 300, y: 700 });
    all.release();
    all.done('undo');
    expect(touch(all, 'again', 1_000, 100, 700)).toBe(true);
    expect(touch(all, 'undo', 1_100, 300, 700)).toBe(false); // which is held itself
  });
});

it('each control is held by itself', () => {
  const all = new Touches();
  expect(['again', 'water', 'plain.beer'].map((it, i) => touch(all, it, i * 200, 100, i * 100))).toEqual([
    true,
    true,
    true,
  ]);
});

describe('another control that came to stand under the finger', () => {
  it.each([
    ['the very place', 100, 700, false],
    ['a slip of the finger', 120, 715, false],
    ['the next row', 100, 756, true],
  ])('%s', (_, x, y, counts) => {
    const all = new Touches();
    touch(all, 'plain.beer', 0, 100, 700);
    expect(touch(all, 'plain.cider', 600, x, y)).toBe(counts);
  });

  it('also after a touch of something else that saved, and not after the hold', () => {
    const all = new Touches();
    all.counted({ at: 0, x: 100, y: 700 });
    expect(touch(all, 'plain.beer', 900, 100, 700)).toBe(false);
    expect(touch(all, 'plain.beer', 1_600, 100, 700)).toBe(true);
  });

  it('a key has no place', () => {
    const all = new Touches();
    touch(all, 'again', 0);
    expect(touch(all, 'water', 200)).toBe(true);
  });
});

it('of any touches of one control those that count are at least the hold apart, and every other lies behind one', () => {
  let seed = 20_260_515;
  const random = (below: number) => (seed = (seed * 1_103_515_245 + 12_345) % 2_147_483_648) % below;
  for (let run = 0; run < 500; run++) {
    const all = new Touches();
    let at = 0;
    let last: number | null = null;
    for (let i = 0; i < 30; i++) {
      at += random(1_200);
      const counts = touch(all, 'again', at, random(400), random(800));
      expect(counts, `run ${run}, at ${at}, last counted ${last}`).toBe(last === null || at - last >= holdMs);
      if (counts) last = at;
    }
  }
});
