import type { Alcohol, Figure } from '../shared/core.ts';
import { format, words } from './words.ts';

/** Every way a number or a date is set for reading. Nothing else in the app formats one. */

export function decimal(value: number, most: number, least = most): string {
  const text = format.number(Object.is(value, -0) ? 0 : value, {
    minimumFractionDigits: least,
    maximumFractionDigits: most,
  });
  return text.replace('-', '−'); // a real minus sign
}

/** A number as it stands in a field to be typed over: no groups, a point. */
export const plainNumber = (value: number): string => String(Math.round(value * 1e6) / 1e6);

/** 37.5 ml, 15 ml: as many decimals as it has, one at most. */
export const ml = (value: number): string => words.ml(decimal(value, 1, 0));
export const percent = (value: number, most = 1): string => words.percent(decimal(value, most, 0));
export const grams = (value: number): string => words.grams(decimal(value, 0));
export const drinks = (value: number): string => (value === 0 ? decimal(0, 0) : decimal(value, 1));

const fractions: Record<string, string> = { '0.25': '¼', '0.5': '½', '0.75': '¾' };

/** A score out of ten, in halves: 7½, 8. */
export function score(x10: number): string {
  const whole = Math.floor(x10 / 10);
  const rest = x10 % 10;
  if (rest === 0) return decimal(whole, 0);
  return rest === 5 ? `${decimal(whole, 0)}½` : decimal(x10 / 10, 1);
}

/** The part of a glass that was drunk. */
export function share(bp: number): string {
  if (bp === 10000) return words.share.whole;
  if (bp === 0) return words.share.none;
  return fractions[String(bp / 10000)] ?? percent(bp / 100);
}

export function figure(f: Figure): string {
  if (f.v === null) return f.at_least && f.lo !== null ? words.atLeast(decimal(f.lo, f.dec)) : words.unknownDash;
  return f.at_least ? words.atLeast(decimal(f.v, f.dec)) : decimal(f.v, f.dec);
}

/** 15.5–18.5; empty when there is no doubt to show. */
export function band(f: Figure): string {
  if (f.v === null || f.lo === null || f.hi === null || f.lo === f.hi) return '';
  return `${decimal(f.lo, f.dec)}–${decimal(f.hi, f.dec)}`;
}

/** No strength is known, so there is no least figure worth saying either. */
export const isUnknown = (a: Alcohol): boolean => a.at_least && Math.round(a.drinks * 10) === 0;

/** "2.1", "at least 2.1", "about 2.1", "2.1 or 2.4", "not known". */
export function alcohol(a: Alcohol): string {
  if (isUnknown(a)) return a.or_drinks === null ? words.notKnown : words.or(words.notKnown, drinks(a.or_drinks));
  let text = drinks(a.drinks);
  if (a.about) text = words.about(text);
  if (a.at_least) text = words.atLeast(text);
  return a.or_drinks === null ? text : words.or(text, drinks(a.or_drinks));
}

/** "2.1 standard drinks, 21 g of alcohol" */
export function standardDrinks(a: Alcohol): string {
  if (isUnknown(a) && a.or_drinks === null) return words.alcoholNotKnown;
  return words.drinksOf(alcohol(a), grams(a.grams));
}

/** Beside what could be poured: what the evening's total would be. */
export const toTotal = (a: Alcohol): string => (isUnknown(a) ? words.notKnown : words.sheet.toTotal(alcohol(a)));

/** A calendar date, "2026-05-15", as a date of no zone. */
function dateOf(day: string): Date {
  const [y, m, d] = day.split('-').map(Number);
  return new Date(Date.UTC(y ?? 0, (m ?? 1) - 1, d ?? 1));
}

const dated = (day: string, options: Intl.DateTimeFormatOptions): string =>
  format.date(dateOf(day), { timeZone: 'UTC', ...options });

/** Friday 15 May; with its year when that is another than now. */
export const longDay = (day: string, year = new Date().getFullYear()): string =>
  day.startsWith(`${year}-`)
    ? dated(day, { weekday: 'long', day: 'numeric', month: 'long' })
    : dated(day, { weekday: 'long', day: 'numeric', month: 'long', year: 'numeric' });
/** 15 May */
export const shortDay = (day: string): string => dated(day, { day: 'numeric', month: 'short' });
/** Fri */
export const weekday = (day: string): string => dated(day, { weekday: 'short' });
/** Fri 15 */
export const weekdayDay = (day: string): string => `${weekday(day)} ${decimal(Number(day.slice(8)), 0)}`;
/** November 2026, from "2026-11". */
export const monthYear = (month: string): string => dated(`${month}-01`, { month: 'long', year: 'numeric' });
/** 05:00, from minutes after midnight. */
export const clock = (minutes: number): string =>
  `${String(Math.floor(minutes / 60)).padStart(2, '0')}:${String(minutes % 60).padStart(2, '0')}`;
/** 15 May 2026 */
export const fullDay = (day: string): string => dated(day, { day: 'numeric', month: 'long', year: 'numeric' });
/** Thu 14 May, 23:41, in the zone of this device. */
export const moment = (ms: number): string =>
  format.date(ms, {
    weekday: 'short',
    day: 'numeric',
    month: 'short',
    hour: '2-digit',
    minute: '2-digit',
    hourCycle: 'h23',
  });

/** A text of the core with its dates set for reading: "Orchard Sour, 2026-05-15" is "Orchard Sour, 15 May 2026". */
export const withDates = (text: string): string => text.replace(/\b\d{4}-\d{2}-\d{2}\b/g, (day) => fullDay(day));

/** The moment as a date-and-time field wants it, in the zone of this device: 2026-05-15T22:04 */
export function localMoment(ms: number): string {
  const there = new Date(ms - new Date(ms).getTimezoneOffset() * 60_000);
  return there.toISOString().slice(0, 16);
}

/** 1 h 12 min, 48 min; from three days on, days. */
export function span(minutes: number): string {
  const all = Math.round(minutes);
  const hours = Math.floor(all / 60);
  const rest = all % 60;
  if (hours >= 72) return words.days(decimal(hours / 24, 0));
  if (hours === 0) return words.minutes(rest);
  return rest === 0 ? words.hours(hours) : words.hoursMinutes(hours, rest);
}

/** How many digits of a currency's amount stand behind the point: 2 for EUR, 0 for JPY. */
export function minorUnits(currency: string): number {
  try {
    return format.digits(currency);
  } catch {
    return 2;
  }
}

/** A price in minor units and its currency. */
export function money(minor: number, currency: string): string {
  try {
    return format.number(minor / 10 ** format.digits(currency), { style: 'currency', currency });
  } catch {
    return `${decimal(minor / 100, 2)} ${currency}`.trim();
  }
}

/** A name as it was written, its figures kept on one line with their unit: "soft floral gin, 41.5 %". */
export const tight = (text: string): string => text.replace(/(\d) (%|ml|cl|oz|g)(?!\p{L})/gu, '$1\u00a0$2');

/** Things one after the other: gin, rum, tequila. */
export const listOf = (items: readonly string[]): string => format.list(items);

/** What is said of one thing, one after the other and what is empty left out: stirred, 90 ml, 28 %. */
export const detailsOf = (said: readonly (string | false | null | undefined)[]): string =>
  said.filter(Boolean).join(words.comma);

/** The unit that an amount is written in: dash, dashes. */
export function unitName(key: string, n: number): string {
  const texts = words.units[key];
  return texts === undefined ? key : format.plural(n, texts);
}

/** A country by its code; the World Health Organization counts as one. */
export const countryName = (code: string): string => (code === 'WHO' ? words.who : (format.region(code) ?? code));
