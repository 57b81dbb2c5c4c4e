import type { later } from './en/later.ts';
import type { start } from './en/start.ts';

/** What the words of every language have: the keys and parameters of the English ones, and any text in place of theirs. */
export type Shape<T> = T extends string
  ? string
  : T extends (...all: infer A) => infer R
    ? (...all: A) => Shape<R>
    : { [K in keyof T]: Shape<T[K]> };

export type Words = Shape<typeof start>;
export type LaterWords = Shape<typeof later>;
