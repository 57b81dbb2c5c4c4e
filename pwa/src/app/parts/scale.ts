/** Where things stand on a scale: pure arithmetic of pixels, no drawing. */

/** A straight map from values to places; `to` may run either way. */
export interface Axis {
  from: readonly [number, number];
  to: readonly [number, number];
}

export function place(axis: Axis, value: number): number {
  const [a, b] = axis.from;
  const [p, q] = axis.to;
  return p + ((value - a) / (b - a)) * (q - p);
}

export function clamp(value: number, low: number, high: number): number {
  return Math.min(high, Math.max(low, value));
}

/** One decimal is enough for a screen, and keeps the markup short. */
export function px(value: number): number {
  return Math.round(value * 10) / 10;
}

/** The smallest step of 1, 2 or 5 times a power of ten whose ticks stand at least `least` pixels apart. */
export function step(perPixel: number, least: number): number {
  const want = perPixel * least;
  const power = 10 ** Math.floor(Math.log10(want));
  for (const factor of [1, 2, 5]) if (factor * power >= want * (1 - 1e-9)) return factor * power;
  return 10 * power;
}

interface Ticks {
  short: number[];
  long: number[];
}

/** The places of the ticks of an axis: every step a short one, every fifth a long one. */
export function ticks(axis: Axis, least = 4): Ticks {
  const [a, b] = axis.from;
  const [p, q] = axis.to;
  const by = step(Math.abs((b - a) / (q - p)), least);
  const low = Math.min(a, b);
  const high = Math.max(a, b);
  const out: Ticks = { short: [], long: [] };
  for (let n = Math.ceil(low / by - 1e-9); n * by <= high + by * 1e-9; n++) {
    (n % 5 === 0 ? out.long : out.short).push(px(place(axis, n * by)));
  }
  return out;
}

/** The axis of a measure whose usual range fills the strip between `top` and `bottom`, seen through `height` pixels. */
export function stripAxis(low: number, high: number, top: number, bottom: number, height: number): Axis {
  const perPixel = (high - low) / (bottom - top);
  return { from: [low - (height - bottom) * perPixel, high + top * perPixel], to: [height, 0] };
}

/** The axis of a measure without a usual range: from nothing to a round figure well above the highest value. */
export function openAxis(highest: number, height: number): Axis {
  const top = highest > 0 ? highest * 1.6 : 1;
  return { from: [0, top], to: [height, 0] };
}
