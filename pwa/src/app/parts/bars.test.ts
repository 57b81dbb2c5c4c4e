import { expect, it } from 'vitest';
import { barBox, barsOf } from './bars.ts';

it('draws no bar for a day without a figure, and keeps the heights in proportion', () => {
  const { bars } = barsOf([null, 2, 0, 4], [4]);
  expect(bars).toHaveLength(2);
  expect(bars[1]!.height / bars[0]!.height).toBeCloseTo(2, 1);
  for (const bar of bars) expect(bar.y + bar.height).toBeCloseTo(barBox.base, 0);
});

it('cuts the line out of the bars above it only', () => {
  const { cuts, lines, bars } = barsOf([3, 5.3, 4], [4]);
  expect(cuts).toHaveLength(1);
  expect(cuts[0]!.x).toBe(bars[1]!.x);
  expect(lines).toHaveLength(1);
  expect(barsOf([3, 5], [])).toMatchObject({ lines: [], cuts: [] });
});

it('draws every line where an issuer splits its guidance, each cut out of the bars above it', () => {
  const { cuts, lines } = barsOf([2.5, 4], [2, 3]);
  expect(lines[0]!).toBeGreaterThan(lines[1]!);
  expect(cuts.map((cut) => cut.y)).toEqual([lines[0], lines[0], lines[1]]);
});

it('leaves the guidance line inside the box when every day is nothing', () => {
  const { lines } = barsOf([null, null], [4]);
  expect(lines[0]!).toBeGreaterThan(0);
  expect(lines[0]!).toBeLessThan(barBox.base);
});
