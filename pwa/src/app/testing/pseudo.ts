/**
 * A language nobody speaks, made of the English words: accents on its letters, longer by a third, in brackets. What stands
 * on a page without brackets was written somewhere else.
 */
const accents: Readonly<Record<string, string>> = Object.fromEntries(
  [...'aeiouyAEIOUY'].map((letter, i) => [letter, 'áéíóúýÁÉÍÓÚÝ'[i] ?? letter]),
);

const text = (it: string): string => {
  if (it === '') return '';
  const accented = it.replace(/[aeiouy]/gi, (letter) => accents[letter] ?? letter);
  return `⟦${accented}${'~'.repeat(Math.ceil(it.length / 3))}⟧`;
};

/** The same words in it: every text they hold, and every text their functions give. */
export function pseudo<T>(words: T): T {
  return spoken(words) as T;
}

function spoken(it: unknown): unknown {
  if (typeof it === 'string') return text(it);
  if (typeof it === 'function') return (...all: unknown[]) => spoken((it as (...all: unknown[]) => unknown)(...all));
  if (Array.isArray(it)) return it.map(spoken);
  if (typeof it === 'object' && it !== null)
    return Object.fromEntries(Object.entries(it).map(([key, part]) => [key, spoken(part)]));
  return it;
}

/** What of a text is neither in brackets nor data nor a figure: letters of ours, or a bracket whose other half was cut off. */
export function unsaid(shown: string, data: readonly string[]): string {
  let rest = shown.replaceAll('\u00a0', ' ');
  for (let before = ''; before !== rest;) {
    before = rest;
    rest = rest.replace(/⟦[^⟦⟧]*⟧/gu, ' ');
  }
  rest = rest.replace(/\d[\d.,]*\s*[A-Z]{0,2}\p{Sc}/gu, ' '); // money, as the browser sets it
  const left = () => /[⟦⟧\p{Script=Latin}]/u.test(rest);
  if (!left()) return '';
  // The longest first; only whole, so that a short name hides no part of a word.
  for (const name of data.filter((it) => rest.includes(it)).sort((a, b) => b.length - a.length))
    rest = rest.split(name).reduce((a, b) => (/\p{L}$/u.test(a) || /^\p{L}/u.test(b) ? a + name + b : `${a} ${b}`));
  return left() ? rest.replace(/\s+/g, ' ').trim() : '';
}
