import { afterEach, describe, expect, it, vi } from 'vitest';
import type { Alcohol, Figure } from '../shared/core.ts';

const f = (v: number | null, lo: number | null, hi: number | null, dec: number, at_least = false): Figure => ({
  v,
  lo,
  hi,
  dec,
  at_least,
});
const a = (drinks: number, more: Partial<Alcohol> = {}): Alcohol => ({
  grams: drinks * 10,
  drinks,
  at_least: false,
  or_drinks: null,
  about: false,
  ...more,
});
/** A space that does not break stands between number and unit. */
const plain = (text: string) => text.replaceAll('\u00a0', ' ');

async function formats(language: string) {
  vi.resetModules();
  vi.stubGlobal('navigator', { language });
  return import('./format.ts');
}
afterEach(() => vi.unstubAllGlobals());

describe('numbers', () => {
  it('keeps the decimals it is told, with a real minus and no "−0"', async () => {
    const { decimal } = await formats('en-GB');
    expect(decimal(17, 1)).toBe('17.0');
    expect(decimal(22.5, 1, 0)).toBe('22.5');
    expect(decimal(15, 1, 0)).toBe('15');
    expect(decimal(-0.4, 1)).toBe('−0.4');
    expect(decimal(-0, 0)).toBe('0');
  });

  it('follows the language of the device, and falls back for an odd one', async () => {
    expect((await formats('de-DE')).decimal(22.5, 1)).toBe('22,5');
    expect((await formats('C')).decimal(0.83, 2)).toMatch(/^0[.,]83$/);
  });

  it('says a volume and a strength with as many decimals as they have', async () => {
    const { ml, percent, grams } = await formats('en-GB');
    expect(plain(ml(37.5))).toBe('37.5 ml');
    expect(plain(ml(15))).toBe('15 ml');
    expect(plain(percent(41.5))).toBe('41.5 %');
    expect(plain(percent(0.76, 2))).toBe('0.76 %');
    expect(plain(grams(21.3))).toBe('21 g');
  });

  it('sets a number for a field without groups, with a point', async () => {
    const { plainNumber } = await formats('de-DE');
    expect(plainNumber(1500)).toBe('1500');
    expect(plainNumber(22.5)).toBe('22.5');
    expect(plainNumber(0.1 + 0.2)).toBe('0.3');
  });

  it('sets a score in halves as a fraction and any other as a decimal', async () => {
    const { score } = await formats('en-GB');
    expect([0, 5, 75, 80, 100, 82].map(score)).toEqual(['0', '0½', '7½', '8', '10', '8.2']);
  });

  it('says the share of a glass in words and fractions', async () => {
    const { share } = await formats('en-GB');
    expect([0, 2500, 5000, 7500, 10000].map(share)).toEqual(['none of it', '¼', '½', '¾', 'whole']);
    expect(plain(share(3300))).toBe('33 %');
  });
});

describe('figures', () => {
  it('never shows an unknown as nought', async () => {
    const { figure, band } = await formats('en-GB');
    expect(figure(f(null, null, null, 1))).toBe('– unknown');
    expect(band(f(null, null, null, 1))).toBe('');
  });

  it('says "at least" where only a lower bound is known', async () => {
    const { figure } = await formats('en-GB');
    expect(figure(f(13.9, 13.9, null, 1, true))).toBe('at least 13.9');
    expect(figure(f(null, 13.9, null, 1, true))).toBe('at least 13.9');
  });

  it('shows a band only where there is doubt', async () => {
    const { figure, band } = await formats('en-GB');
    expect(figure(f(17, 15.5, 18.5, 1))).toBe('17.0');
    expect(band(f(17, 15.5, 18.5, 1))).toBe('15.5–18.5');
    expect(band(f(17, 17, 17, 1))).toBe('');
  });

  it('says of alcohol what is known, guessed, and in clash', async () => {
    const { alcohol } = await formats('en-GB');
    expect(alcohol(a(2.1))).toBe('2.1');
    expect(alcohol(a(0))).toBe('0');
    expect(alcohol(a(2.1, { at_least: true }))).toBe('at least 2.1');
    expect(alcohol(a(2.1, { about: true }))).toBe('about 2.1');
    expect(alcohol(a(2.1, { or_drinks: 2.4 }))).toBe('2.1 or 2.4');
    expect(alcohol(a(2.1, { about: true, at_least: true, or_drinks: 2.4 }))).toBe('at least about 2.1 or 2.4');
  });

  it('does not call it a least figure when nothing is known', async () => {
    const { alcohol, isUnknown, standardDrinks, toTotal } = await formats('en-GB');
    for (const nothing of [a(0, { at_least: true }), a(0.04, { at_least: true, about: true })]) {
      expect(isUnknown(nothing)).toBe(true);
      expect([alcohol(nothing), standardDrinks(nothing), toTotal(nothing)]).toEqual([
        'not known',
        'alcohol not known',
        'not known',
      ]);
    }
    expect(alcohol(a(0, { at_least: true, or_drinks: 2.4 }))).toBe('not known or 2.4');
    for (const known of [a(0), a(0.1, { at_least: true })]) expect(isUnknown(known)).toBe(false);
    expect(standardDrinks(a(2.1, { at_least: true }))).toMatch(/^at least 2\.1 standard drinks, /);
    expect(toTotal(a(2.1))).toBe('to 2.1');
  });
});

describe('time', () => {
  it('sets a calendar date as a date of no zone', async () => {
    const { longDay, shortDay, weekday, weekdayDay, fullDay, monthYear, withDates } = await formats('en-GB');
    expect(longDay('2026-05-15')).toMatch(/^Friday,? 15 May$/);
    expect(shortDay('2026-05-15')).toBe('15 May');
    expect(weekday('2026-05-15')).toBe('Fri');
    expect(weekdayDay('2026-05-05')).toBe('Tue 5');
    expect(fullDay('2026-01-01')).toBe('1 January 2026');
    expect(monthYear('2026-11')).toBe('November 2026');
    expect(withDates('Orchard Sour, 2026-05-15')).toBe('Orchard Sour, 15 May 2026');
  });

  it('says a span in hours and minutes, also where minutes round up to an hour', async () => {
    const { span } = await formats('en-GB');
    expect([0, 48, 60, 72, 125].map(span)).toEqual(['0 min', '48 min', '1 h', '1 h 12 min', '2 h 05 min']);
    expect(span(119.7)).toBe('2 h');
    expect(span(3 * 365 * 24 * 60)).toBe('1,095 days');
  });

  it('sets minutes after midnight as a clock', async () => {
    const { clock } = await formats('en-GB');
    expect([0, 300, 330].map(clock)).toEqual(['00:00', '05:00', '05:30']);
  });

  it('sets a moment for its field in the zone of this device', async () => {
    const { localMoment } = await formats('en-GB');
    const ms = new Date(2026, 4, 15, 22, 4).getTime();
    expect(localMoment(ms)).toBe('2026-05-15T22:04');
    expect(new Date(localMoment(ms)).getTime()).toBe(ms);
  });
});

describe('money', () => {
  it('puts the point where the currency has it (ISO 4217)', async () => {
    const { money, minorUnits } = await formats('en-GB');
    expect(money(2890, 'EUR')).toBe('€28.90');
    expect(money(500, 'JPY')).toMatch(/500$/);
    expect([minorUnits('EUR'), minorUnits('JPY'), minorUnits('TND'), minorUnits('')]).toEqual([2, 0, 3, 2]);
    expect(money(2890, '')).toBe('28.90');
  });
});

it('keeps a figure in a name with its unit, and breaks nothing else', async () => {
  const { tight } = await formats('en-GB');
  expect(tight('soft floral gin, 41.5 %')).toBe('soft floral gin, 41.5\u00a0%');
  expect(tight('20 ml lemon juice')).toBe('20\u00a0ml lemon juice');
  expect(tight('No. 5 gin')).toBe('No. 5 gin');
});

it('names the year of a day that is not of this one', async () => {
  const { longDay } = await formats('en-GB');
  expect(longDay('2029-11-23', 2026)).toContain('2029');
  expect(longDay('2026-11-23', 2026)).not.toContain('2026');
});
