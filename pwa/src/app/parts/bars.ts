import { clamp, px } from './scale.ts';

/** Seven days as plain bars: places in a box of 350 by 150, ink only. */
export interface Bars {
  bars: { x: number; y: number; width: number; height: number }[];
  /** Where the dashed line of the guidance stands; null without one. */
  line: number | null;
  /** Bars that the line crosses: it is cut out of them, so it stays visible. */
  cuts: { x: number; width: number }[];
}

export const barBox = { width: 350, height: 150, base: 149 } as const;

export function barsOf(drinks: readonly (number | null)[], limit: number | null): Bars {
  const highest = Math.max(...drinks.map((n) => n ?? 0), limit === null ? 0 : limit * 1.2, 1);
  const scale = (barBox.base - 12) / highest;
  const slot = barBox.width / Math.max(drinks.length, 1);
  const width = 22;
  const line = limit === null ? null : px(barBox.base - limit * scale);
  const out: Bars = { bars: [], line, cuts: [] };
  drinks.forEach((n, i) => {
    if (!n || n <= 0) return;
    const height = clamp(n * scale, 1, barBox.base);
    const bar = { x: px(slot * i + (slot - width) / 2), y: px(barBox.base - height), width, height: px(height) };
    out.bars.push(bar);
    if (line !== null && bar.y < line) out.cuts.push({ x: bar.x, width });
  });
  return out;
}
