import { clamp, px } from './scale.ts';

/** Days or weeks as plain bars: places in a box of 350 by 150, ink only. */
export interface Bars {
  bars: { x: number; y: number; width: number; height: number }[];
  /** Where the dashed lines of the guidance stand, in the order given. */
  lines: number[];
  /** Bars that a line crosses: it is cut out of them, so it stays visible. */
  cuts: { x: number; y: number; width: number }[];
}

export const barBox = { width: 350, height: 150, base: 149 } as const;

export function barsOf(amounts: readonly (number | null)[], limits: readonly number[]): Bars {
  const highest = Math.max(...amounts.map((n) => n ?? 0), ...limits.map((n) => n * 1.2), 1);
  const scale = (barBox.base - 12) / highest;
  const slot = barBox.width / Math.max(amounts.length, 1);
  const width = px(Math.min(22, slot * 0.7));
  const out: Bars = { bars: [], lines: limits.map((n) => px(barBox.base - n * scale)), cuts: [] };
  amounts.forEach((n, i) => {
    if (!n || n <= 0) return;
    const height = clamp(n * scale, 1, barBox.base);
    const bar = { x: px(slot * i + (slot - width) / 2), y: px(barBox.base - height), width, height: px(height) };
    out.bars.push(bar);
    for (const y of out.lines) if (bar.y < y) out.cuts.push({ x: bar.x, y, width });
  });
  return out;
}
