/**
 * How numbers, dates, plurals and lists are set for the person reading. All that the browser knows of languages is asked
 * here, with a language that was chosen and never one that is written down.
 */

/** A text for each kind of number a language tells apart; English has `one` and `other`. */
export type Plural = Readonly<Partial<Record<Intl.LDMLPluralRule, string>> & { other: string }>;

export class Format {
  readonly #reader: () => string | undefined;
  readonly #words: string;
  readonly #numbers = new Map<string, Intl.NumberFormat>();
  readonly #dates = new Map<string, Intl.DateTimeFormat>();
  readonly #plurals: Intl.PluralRules;
  readonly #lists: Intl.ListFormat;
  readonly #regions: Intl.DisplayNames;

  /** `words` is the language of the sentences; `reader` names who sets numbers and dates, undefined as the browser would. */
  constructor(words: string, reader: () => string | undefined) {
    this.#words = words;
    this.#reader = reader;
    this.#plurals = new Intl.PluralRules(words);
    this.#lists = new Intl.ListFormat(words, { type: 'unit' });
    this.#regions = new Intl.DisplayNames(words, { type: 'region' });
  }

  number(value: number, options: Intl.NumberFormatOptions): string {
    return this.#number(options).format(value);
  }

  /** How many digits of a currency's amount stand behind the point: 2 for EUR, 0 for JPY. */
  digits(currency: string): number {
    return this.#number({ style: 'currency', currency }).resolvedOptions().maximumFractionDigits ?? 2;
  }

  #number(options: Intl.NumberFormatOptions): Intl.NumberFormat {
    return kept(this.#numbers, options, () => new Intl.NumberFormat(this.#reader(), options));
  }

  date(value: number | Date, options: Intl.DateTimeFormatOptions): string {
    return kept(this.#dates, options, () => new Intl.DateTimeFormat(this.#reader(), options)).format(value);
  }

  /** The text for so many. */
  plural(n: number, texts: Plural): string {
    return texts[this.#plurals.select(n)] ?? texts.other;
  }

  /** Things one after the other: gin, rum, tequila. */
  list(items: readonly string[]): string {
    return this.#lists.format(items);
  }

  /** A country by its two letters; undefined when they are none. */
  region(code: string): string | undefined {
    try {
      return this.#regions.of(code);
    } catch {
      return undefined;
    }
  }

  /** The language of the sentences, for the page to say. */
  get language(): string {
    return this.#words;
  }
}

function kept<T>(all: Map<string, T>, options: object, make: () => T): T {
  const key = JSON.stringify(options);
  const found = all.get(key) ?? make();
  all.set(key, found);
  return found;
}

/** The language the device sets numbers in; undefined when it names an odd one such as "C". */
export function readerOf(): string | undefined {
  try {
    return new Intl.NumberFormat(navigator.language).resolvedOptions().locale;
  } catch {
    return undefined;
  }
}
