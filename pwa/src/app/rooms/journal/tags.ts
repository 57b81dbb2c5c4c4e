/** The fields of the flavour terms that were added or taken away, as the model names them; null clears. */
export function tagChanges(before: readonly string[], after: readonly string[]): Record<string, true | null> {
  const set: Record<string, true | null> = {};
  for (const term of after) if (!before.includes(term)) set[fieldOf(term)] = true;
  for (const term of before) if (!after.includes(term)) set[fieldOf(term)] = null;
  return set;
}

const fieldOf = (term: string): string => `tag.${term.trim().toLowerCase().replaceAll(' ', '_')}`;
