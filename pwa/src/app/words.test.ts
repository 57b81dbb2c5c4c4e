import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { methods } from './methods.ts';
import { unitName } from './format.ts';
import { later, words } from './words.ts';

/**
 * Never on any screen: a figure for the blood, fitness to drive, an amount still allowed, streaks, praise. The list holds
 * what such a sentence would be made of; a word that only warns of it is looked at with its sentence below.
 */
const forbidden = [
  /blood/i,
  /\bBAC\b/,
  /per ?mille|promille|‰/i,
  /breathalys|breathalyz/i,
  /\bsober/i,
  /\bdrunkenness|\btipsy|\bhangover/i,
  /fit to drive|safe to drive|able to drive|legal(ly)? to drive|can drive|may drive/i,
  /\bremaining\b|\bremains?\b.*(drink|unit|gram)/i,
  /drinks? left|units? left|grams? left|(drinks?|units?) to go/i,
  /allowance|allowed|budget/i,
  /still (have|can|may|allowed|free)|room for|enough for (one|another)|up to .* more/i,
  /streak|in a row|days? since|personal best|record of/i,
  /well done|congratulat|good job|great job|nice work|bravo|keep it up|proud|\bgreat\b|\bawesome|\bcheers\b|hooray|!/i,
  /reward|badge|achievement|goal reached|level up|trophy/i,
  // The same ideas in German.
  /blutalkohol|alkoholspiegel|alkoholgehalt im blut/i,
  /nüchtern|fahrtauglich|fahrtüchtig|fahrbereit|darfst? (noch )?fahren/i,
  /verbleib|übrig|restmenge|noch erlaubt|erlaubte menge|guthaben|kontingent|noch \d+ (gläser|getränke|einheiten)/i,
  /tage in folge|serie|rekord|seit \d+ tagen/i,
  /glückwunsch|gratulation|gut gemacht|weiter so|super|abzeichen|belohnung|ziel erreicht/i,
];

/** Sentences that name what the app does not do; they are the caution itself. */
const cautions: ReadonlySet<string> = new Set([
  'It counts what you write down; glasses are often fuller than they look. It never says how much would still be all right.',
  'Liquorice in quantity raises blood pressure.',
]);

const samples: readonly unknown[][] = [
  ['x', 'x', 'x', 'x', 'x', 'x'],
  [1, 1, 1, 1, 1, 1],
  [3, 3, 3, 3, 3, 3],
  ['x', true, 'x', 'x', 'x', 2026],
  ['x', false, 'x', '', 'x', 2026],
  ['x', ['gin', 'rum'], 'x', 'x', 'x', 'x'],
  [null, 2, 2, 2, 2, 2],
];

/** Every string of the words, with every function called in several ways. */
function flatten(value: unknown, at: string, out: Map<string, string>): void {
  if (typeof value === 'string') out.set(`${at} = ${value}`, value);
  else if (typeof value === 'function') {
    samples.forEach((args, i) => {
      try {
        flatten((value as (...all: unknown[]) => unknown)(...args), `${at}(${i})`, out);
      } catch {
        // not meant for such arguments
      }
    });
  } else if (Array.isArray(value)) value.forEach((part, i) => flatten(part, `${at}.${i}`, out));
  else if (typeof value === 'object' && value !== null)
    for (const [key, part] of Object.entries(value)) flatten(part, `${at}.${key}`, out);
}

const all = new Map<string, string>();
flatten(words, 'words', all);
flatten(later, 'later', all);
for (const key of [
  'strength_unknown',
  'sugar_unknown',
  'acid_unknown',
  'open_amount',
  'outside_curve',
  'estimate',
  'melt_too_little',
  'melt_too_much',
  'raw_egg',
  'method_unknown',
  'parts_without_size',
]) {
  all.set(`remark ${key}`, words.remark(key, ['gin']));
}
/** What a round can be refused with; a test of the server holds the list. */
const refusals: string[] = JSON.parse(
  readFileSync(new URL('../../../testdata/wire/sync_refusals.json', import.meta.url), 'utf8'),
);
for (const code of ['', 'other', ...refusals]) {
  flatten(words.stopped(code), `stopped ${code}`, all);
}
for (const code of [
  '',
  'code_unreadable',
  'code_unknown',
  'code_expired',
  'name',
  'too_many_tries',
  'busy',
  'internal',
]) {
  all.set(`refused ${code}`, words.pair.refused(code));
}
for (const code of [
  '',
  'wrong',
  'wrong_password',
  'password',
  'account_name',
  'name_taken',
  'name',
  'no_setup',
  'not_invitation',
  'code_unknown',
  'code_expired',
  'internal',
  'no_space',
]) {
  all.set(`door refused ${code}`, later.door.refused(code));
}

describe('what is never said', () => {
  it('looks at all there is to read', () => {
    expect(all.size).toBeGreaterThan(500);
    expect([...all.values()].filter((text) => text.includes('undefined') || text.includes('[object'))).toEqual([]);
  });

  it.each(forbidden.map((rule) => [String(rule), rule] as const))('%s', (_, rule) => {
    const found = [...all].filter(([, text]) => rule.test(text) && !cautions.has(text)).map(([where]) => where);
    expect(found).toEqual([]);
  });

  it('would find such a sentence', () => {
    const bad = [
      'You have 2 drinks left tonight.',
      'Your BAC is 0.5',
      'Fit to drive at 03:10',
      '4 days in a row without alcohol',
      'Well done',
      'No days? Great',
      'Remaining: 3',
    ];
    for (const text of bad)
      expect(
        forbidden.some((rule) => rule.test(text)),
        text,
      ).toBe(true);
  });
});

describe('words for the core’s keys', () => {
  it.each([
    'raw_egg quinine caffeine grapefruit charcoal liquorice slush carbonated_freezer freezer_unknown open_amount in_glass',
    'avoid.tobacco avoid.tonka avoid.kernels avoid.liver avoid.calamus avoid.garden avoid.nitrogen',
    'infused.wormwood infused.foraged infused.oil infused.cinchona crystals crystals_5c crystals_20c',
  ])('has a sentence for each caution: %s', (codes) => {
    for (const code of codes.split(' ')) {
      expect(later.caution.text(code), code).toMatch(/\.$/);
      expect(forbidden.filter((rule) => rule.test(later.caution.text(code)) && code !== 'liquorice')).toEqual([]);
    }
  });

  it('has a word for each allergen of Annex II that the core reads', () => {
    const codes =
      'egg milk nuts peanuts gluten sulphites fish crustaceans molluscs celery mustard sesame soya lupin'.split(' ');
    for (const code of codes) expect(later.caution.allergen(`allergen.${code}`, 'x')).toBe(`${code} (x)`);
  });

  it('has a sentence for everything the server can refuse a round with, and something to do', () => {
    expect(refusals.length).toBeGreaterThan(15);
    const unknown = words.stopped('of_later');
    expect(unknown.what).toContain('of_later');
    for (const code of refusals) {
      const { what, then } = words.stopped(code);
      expect(what, code).toMatch(/^[A-Z].*\.$/);
      expect(then, code).toMatch(/^[A-Z].*\.$/);
      expect(what, code).not.toBe(words.stopped('x').what.replace('x', code));
      expect(what + then, code).not.toContain('_');
    }
  });

  it('has a word for every method', () => {
    for (const key of methods) expect(words.method(key)).not.toBe('');
  });

  it('says a unit in the singular and the plural', () => {
    expect([unitName('dash', 1), unitName('dash', 2), unitName('ml', 2)]).toEqual(['dash', 'dashes', 'ml']);
  });

  it('names a field by its kind where the name alone would mislead', () => {
    expect(later.clash.field('pour', 'name')).toBe('what it was');
    expect(later.clash.field('spec', 'name')).toBe('name');
    expect(later.clash.field('pour', 'tag.too_sweet')).toBe('flavour: too sweet');
    expect(later.clash.field('spec', 'something_new')).toBe('something new');
  });
});
