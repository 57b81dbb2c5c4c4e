import type { Question } from '../../../shared/core.ts';
import { readNumber } from '../../parts/read-number.ts';
import { later } from '../../words.ts';

export interface SyrupForm {
  by: 'grams' | 'weight' | 'volume';
  /** Grams; of 'volume', millilitres. */
  sugar: string;
  water: string;
  sugarParts: string;
  waterParts: string;
  made: string;
  price: string;
  currency: string;
}
export const blankSyrup = (): SyrupForm => ({
  by: 'grams',
  sugar: '500',
  water: '250',
  sugarParts: '2',
  waterParts: '1',
  made: '',
  price: '',
  currency: '',
});

export interface InfusionForm {
  bottle: string;
  spirit: string;
  strength: string;
  what: string;
  made: string;
  fruit: string;
}
export const blankInfusion = (): InfusionForm => ({
  bottle: '',
  spirit: '500',
  strength: '40',
  what: '',
  made: '',
  fruit: '',
});

export interface CutForm {
  volume: string;
  from: string;
  to: string;
}

export const blankCut = (): CutForm => ({ volume: '700', from: '60', to: '40' });

/** What lay on the disk, when each of its keys is a string. */
export function keptText<T extends object>(blank: T) {
  return (value: unknown): T | null => {
    if (typeof value !== 'object' || value === null) return null;
    const read = value as Record<string, unknown>;
    return Object.keys(blank).every((key) => typeof read[key] === 'string') ? (read as T) : null;
  };
}

export const keptSyrup = (value: unknown): SyrupForm | null => {
  const form = keptText(blankSyrup())(value);
  return form && ['grams', 'weight', 'volume'].includes(form.by) ? form : null;
};

export const keptCut = keptText(blankCut());

export type Wrong<T> = Partial<Record<keyof T, string>>;
type SyrupQuestion = Extract<Question, { q: 'syrup' }>;
type InfusionQuestion = Extract<Question, { q: 'infusion' }>;

const above = (text: string): number | null => {
  const n = readNumber(text);
  return n === null || n <= 0 ? null : n;
};
const empty = (text: string): boolean => text.trim() === '';

/** `digits`: of the currency behind the point. */
export function syrupQuestion(
  form: SyrupForm,
  digits: number,
): { question: SyrupQuestion } | { wrong: Wrong<SyrupForm> } {
  const wrong: Wrong<SyrupForm> = {};
  const sugar = above(form.sugar);
  const volume = form.by === 'volume';
  if (sugar === null) wrong.sugar = volume ? later.making.needMl(form.sugar) : later.making.needGrams(form.sugar);
  let water = 0;
  if (form.by === 'grams') {
    const n = above(form.water);
    if (n === null) wrong.water = later.making.needGrams(form.water);
    else water = n;
  } else {
    const a = above(form.sugarParts);
    const b = above(form.waterParts);
    if (a === null) wrong.sugarParts = later.making.needParts(form.sugarParts);
    if (b === null) wrong.waterParts = later.making.needParts(form.waterParts);
    if (a !== null && b !== null && sugar !== null) water = (sugar * b) / a;
  }
  const made = empty(form.made) ? null : above(form.made);
  if (!empty(form.made) && made === null) wrong.made = later.making.needMl(form.made);
  const price = empty(form.price) ? null : readNumber(form.price);
  if (!empty(form.price) && price === null) wrong.price = later.making.needPrice(form.price);
  if (price !== null && !/^[A-Za-z]{3}$/.test(form.currency.trim()))
    wrong.currency = later.bottles.needCurrency(form.currency);
  if (Object.keys(wrong).length > 0 || sugar === null) return { wrong };
  return {
    question: {
      q: 'syrup',
      ...(volume
        ? { sugar_ul: Math.round(sugar * 1000), water_ul: Math.round(water * 1000) }
        : { sugar_mg: Math.round(sugar * 1000), water_mg: Math.round(water * 1000) }),
      ...(made === null ? {} : { made_ul: Math.round(made * 1000) }),
      ...(price === null ? {} : { sugar_price_minor_per_kg: Math.round(price * 10 ** digits) }),
    },
  };
}

export function infusionQuestion(form: InfusionForm): { question: InfusionQuestion } | { wrong: Wrong<InfusionForm> } {
  const wrong: Wrong<InfusionForm> = {};
  const spirit = above(form.spirit);
  if (spirit === null) wrong.spirit = later.making.needMl(form.spirit);
  const strength = readNumber(form.strength);
  if (strength === null || strength > 100) wrong.strength = later.making.needStrength(form.strength);
  const made = empty(form.made) ? null : above(form.made);
  if (!empty(form.made) && made === null) wrong.made = later.making.needMl(form.made);
  const fruit = empty(form.fruit) ? null : readNumber(form.fruit);
  if (!empty(form.fruit) && fruit === null) wrong.fruit = later.making.needMl(form.fruit);
  if (Object.keys(wrong).length > 0 || spirit === null || strength === null) return { wrong };
  return {
    question: {
      q: 'infusion',
      vol_ul: Math.round(spirit * 1000),
      abv_bp: Math.round(strength * 100),
      what: form.what.trim(),
      ...(fruit === null ? {} : { water_ul: Math.round(fruit * 1000) }),
      ...(made === null ? {} : { made_ul: Math.round(made * 1000) }),
    },
  };
}

export function cutQuestion(form: CutForm): { question: Extract<Question, { q: 'cut' }> } | { wrong: Wrong<CutForm> } {
  const wrong: Wrong<CutForm> = {};
  const volume = above(form.volume);
  const from = above(form.from);
  const to = above(form.to);
  if (volume === null) wrong.volume = later.making.needMl(form.volume);
  if (from === null || from > 100) wrong.from = later.making.needStrength(form.from);
  if (to === null || to > 100) wrong.to = later.making.needStrength(form.to);
  else if (from !== null && to > from) wrong.to = later.cut.weaker;
  if (Object.keys(wrong).length > 0 || volume === null || from === null || to === null) return { wrong };
  return {
    question: {
      q: 'cut',
      vol_ul: Math.round(volume * 1000),
      abv_bp: Math.round(from * 100),
      to_bp: Math.round(to * 100),
    },
  };
}
