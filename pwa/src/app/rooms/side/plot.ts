import type { Finding } from '../../../shared/core.ts';
import { clamp, place, px, step } from '../../parts/scale.ts';

/** The room of the drawing, and of what is drawn in it. */
export const box = { width: 360, height: 222, left: 46, right: 352, top: 4, bottom: 200 } as const;

export interface Dot {
  no: number;
  finding: Finding;
  x: number;
  y: number;
  /** Where its number stands. */
  label: { x: number; y: number; end: boolean };
}

interface Plot {
  /** By price, numbered so. */
  dots: Dot[];
  /** The line through what nothing is both cheaper and better than: along, then up. */
  front: string;
  /** The height of the benchmark. */
  zero: number;
  prices: { at: number; minor: number }[];
  points: { at: number; d: number }[];
}

/** What is tasted and has a price, in the currency that most of it has; by price, the better first. */
export function priced(findings: readonly Finding[]): Finding[] {
  const all = findings.filter((it) => it.tasted > 0 && it.d !== null && it.price_minor !== null);
  const of = (currency: string) => all.filter((it) => it.currency === currency);
  const most = all.reduce(
    (best, { currency }) => (of(currency).length > of(best).length ? currency : best),
    all[0]?.currency ?? '',
  );
  return of(most).sort((a, b) => (a.price_minor ?? 0) - (b.price_minor ?? 0) || (b.d ?? 0) - (a.d ?? 0));
}

/** What is tasted and not among them. */
export const unpriced = (findings: readonly Finding[]): Finding[] => {
  const shown = new Set(priced(findings));
  return findings.filter((it) => it.tasted > 0 && !shown.has(it));
};

/** Round figures from one end to the other, three or four of them. */
function round(low: number, high: number): number[] {
  const by = step(high - low, 0.3);
  const first = Math.ceil(low / by - 1e-9);
  return Array.from({ length: Math.floor(high / by + 1e-9) - first + 1 }, (_, i) => (first + i) * by);
}

/** Where everything of score against price stands; null with fewer than two to set against each other. */
export function plotOf(findings: readonly Finding[]): Plot | null {
  const all = priced(findings);
  if (all.length < 2) return null;
  const spread = (values: number[], least: number): [number, number] => {
    const low = Math.min(...values);
    const high = Math.max(...values);
    const more = Math.max((high - low) * 0.08, (least - (high - low)) / 2);
    return [low - more, high + more];
  };
  const minors = all.map((it) => it.price_minor ?? 0);
  const ds = all.map((it) => it.d ?? 0);
  const across = spread(minors, Math.max(...minors) * 0.04 || 1);
  const up = spread([...ds, 0], 0.5);
  const x = (minor: number) => px(place({ from: across, to: [box.left + 8, box.right - 8] }, minor));
  const y = (d: number) => px(place({ from: up, to: [box.bottom - 8, box.top + 8] }, d));
  const dots: Dot[] = all.map((finding, i) => ({
    no: i + 1,
    finding,
    x: x(finding.price_minor ?? 0),
    y: y(finding.d ?? 0),
    label: { x: 0, y: 0, end: false },
  }));
  for (const [i, dot] of dots.entries()) dot.label = free(dot, dots, dots.slice(0, i));
  const steps = dots
    .filter(({ finding }) => finding.on_front)
    .map((dot, i) => (i === 0 ? `M${dot.x} ${dot.y}` : `H${dot.x}V${dot.y}`));
  return {
    dots,
    front: steps.join(''),
    zero: y(0),
    prices: round(...across).map((minor) => ({ at: x(minor), minor })),
    points: round(...up).map((d) => ({ at: y(d), d })),
  };
}

/** A place beside a dot that touches neither a dot nor a number that stands already; the first when none is free. */
function free(dot: Dot, dots: readonly Dot[], before: readonly Dot[]): Dot['label'] {
  // Along the line and up is where the front runs, and level with it the benchmark's own line: a number keeps off both.
  const places = [
    { x: dot.x + 7, y: dot.y + 16, end: false },
    { x: dot.x + 7, y: dot.y - 6, end: false },
    { x: dot.x - 7, y: dot.y - 6, end: true },
    { x: dot.x - 7, y: dot.y + 16, end: true },
    { x: dot.x + 9, y: dot.y + 5, end: false },
    { x: dot.x - 9, y: dot.y + 5, end: true },
  ];
  const wide = 9 * String(dot.no).length;
  const room = (at: Dot['label']) => ({
    left: at.end ? at.x - wide : at.x,
    right: at.end ? at.x : at.x + wide,
    top: at.y - 11,
    bottom: at.y,
  });
  const fits = places.find((at) => {
    const mine = room(at);
    if (mine.left < box.left || mine.right > box.width || mine.top < 0 || mine.bottom > box.bottom) return false;
    const onDot = dots.some(
      (it) => it.x + 6 > mine.left && it.x - 6 < mine.right && it.y + 6 > mine.top && it.y - 6 < mine.bottom,
    );
    const onNumber = before.some((it) => {
      const other = room(it.label);
      return other.right > mine.left && other.left < mine.right && other.bottom > mine.top && other.top < mine.bottom;
    });
    return !onDot && !onNumber;
  });
  const { x, y, end } = fits ?? { x: dot.x + 9, y: dot.y + 5, end: false };
  return { x: px(x), y: px(clamp(y, 11, box.bottom)), end };
}
