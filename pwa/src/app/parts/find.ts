const folded = (text: string): string => text.normalize('NFKD').replace(/\p{M}/gu, '').toLowerCase();

/** Those whose name has every word that was typed, whatever its accents and capitals. */
export function findIn<T extends { name: string }>(all: readonly T[], typed: string): T[] {
  const wanted = folded(typed).split(/\s+/).filter(Boolean);
  return all.filter((it) => wanted.every((word) => folded(it.name).includes(word)));
}
