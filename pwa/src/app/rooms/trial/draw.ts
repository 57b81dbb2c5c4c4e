/**
 * Which glass of a trial holds which of the two, drawn by lot from a seed that is kept with the trials: after a reload the
 * same glasses stand there.
 */
export type Sort = 'paired' | 'triangle' | 'preferred';
export type Side = 'a' | 'b';
export interface Glass {
  code: number;
  of: Side;
}

const mask = (1n << 64n) - 1n;

/** SplitMix64 (Steele, Lea and Flood, OOPSLA 2014), as the core draws. */
export class Seeds {
  private state: bigint;
  constructor(seed: bigint) {
    this.state = seed & mask;
  }
  next(): bigint {
    this.state = (this.state + 0x9e3779b97f4a7c15n) & mask;
    let z = this.state;
    z = ((z ^ (z >> 30n)) * 0xbf58476d1ce4e5b9n) & mask;
    z = ((z ^ (z >> 27n)) * 0x94d049bb133111ebn) & mask;
    return z ^ (z >> 31n);
  }
  /** A number below n, each as likely: draws beyond the last whole multiple of n are thrown again. */
  below(n: number): number {
    const whole = mask + 1n - ((mask + 1n) % BigInt(n));
    for (;;) {
      const r = this.next();
      if (r < whole) return Number(r % BigInt(n));
    }
  }
  /** In an order by lot (Fisher and Yates, from the end). */
  shuffled<T>(all: readonly T[]): T[] {
    const out = [...all];
    for (let i = out.length - 1; i > 0; i--) {
      const j = this.below(i + 1);
      [out[i], out[j]] = [out[j] as T, out[i] as T];
    }
    return out;
  }
}

/** Every order once before any comes again (ISO 5495, ISO 4120). */
const orders: Record<Sort, readonly string[]> = {
  paired: ['ab', 'ba'],
  triangle: ['aab', 'aba', 'baa', 'bba', 'bab', 'abb'],
  preferred: ['ab'],
};

/** The glasses of the trial after so many, from left to right. */
export function drawn(sort: Sort, seed: string, after: number): Glass[] {
  const seeds = new Seeds(BigInt(seed));
  const used = new Set<number>();
  let round: string[] = [];
  for (let n = 0; ; n++) {
    if (n % orders[sort].length === 0) round = seeds.shuffled(orders[sort]);
    const sides = [...(round[n % round.length] ?? 'ab')] as Side[];
    if (used.size > 400) used.clear(); // of 648 codes
    const glasses = sides.map((of): Glass => ({ code: codeOf(seeds, used), of }));
    if (n === after) return glasses;
  }
}

/** Three different digits, none of those used before. */
function codeOf(seeds: Seeds, used: Set<number>): number {
  for (;;) {
    const code = 100 + seeds.below(900);
    if (used.has(code) || new Set(String(code)).size < 3) continue;
    used.add(code);
    return code;
  }
}

/** The code of the glass that stands alone among three. */
export function oddOf(glasses: readonly Glass[]): number | null {
  const alone = (side: Side) => glasses.filter(({ of }) => of === side).length === 1;
  return glasses.find(({ of }) => alone(of))?.code ?? null;
}

/** What choosing this glass comes to. */
export function outcomeOf(sort: Sort, glasses: readonly Glass[], code: number): string {
  if (sort === 'triangle') return oddOf(glasses) === code ? 'found' : 'missed';
  return glasses.find((it) => it.code === code)?.of ?? 'tie';
}

/** The chance of so many or more out of n, each with chance p. */
function atLeast(k: number, n: number, p: number): number {
  let sum = 0;
  for (let i = k; i <= n; i++) {
    let ways = 1;
    for (let j = 0; j < i; j++) ways = (ways * (n - j)) / (j + 1);
    sum += ways * p ** i * (1 - p) ** (n - i);
  }
  return sum;
}

/**
 * How many of n must agree before chance alone does that less often than once in twenty: of paired trials for the one or
 * the other, of triangles found. Null when not even all of them would do.
 */
export function least(sort: Sort, n: number): number | null {
  for (let k = Math.ceil(n / 2); k <= n; k++) {
    const chance = sort === 'triangle' ? atLeast(k, n, 1 / 3) : 2 * atLeast(k, n, 0.5);
    if (chance <= 0.05) return k;
  }
  return null;
}

/** The fewest trials with which anything can be shown at all: 6 pairs, 3 triangles. */
export function fewest(sort: Sort): number {
  for (let n = 1; ; n++) if (least(sort, n) !== null) return n;
}
