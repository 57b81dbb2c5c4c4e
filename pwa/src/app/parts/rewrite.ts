/**
 * Ways to write a line whose number may be a percentage or a proof, each said in full. Which of them can be read, and
 * what strength each comes to, is for the core to say.
 */
export function rewrites(typed: string): string[] {
  const number = /(\d+(?:[.,]\d+)?)\s*(?:°\s*)?(?:us\s+|uk\s+)?(?:proof|%\s*(?:vol|abv)?\.?)?(?=\s*$)/i;
  const within = /(\d+(?:[.,]\d+)?)\s*(?:°\s*)?(?:us\s+|uk\s+)?(?:proof|%(?:\s*(?:vol|abv)\b\.?)?)/i;
  const found = within.exec(typed) ?? number.exec(typed);
  if (!found || found.index === 0) return []; // the amount itself is no strength
  const [whole, n] = found;
  const before = typed.slice(0, found.index).replace(/[\s,;]+$/, '');
  const after = typed.slice(found.index + whole.length).trim();
  const said = [`${n} %`, `${n} proof`, `${n} uk proof`];
  return said.map((strength) => (after === '' ? `${before}, ${strength}` : `${before} ${strength} ${after}`));
}

/** The part that sets a rewrite apart from the others: "151 proof". */
export const strengthIn = (rewrite: string): string =>
  /\d+(?:[.,]\d+)? (?:%|uk proof|proof)/.exec(rewrite)?.[0] ?? rewrite;
