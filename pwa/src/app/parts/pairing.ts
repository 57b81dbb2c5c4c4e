import { decimal } from '../format.ts';
import { later } from '../words.ts';

/** A difference with its sign: +0.6, −0.3, 0.0. */
export const signed = (d: number): string => `${d > 0 ? '+' : ''}${decimal(d, 1)}`;

/** What a pairing is made of; of an addition that is nothing, no word. */
export const named = (names: readonly string[]): string => names.filter(Boolean).join(' + ') || later.compared.nothing;
