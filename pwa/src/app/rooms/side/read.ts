import type { ComparisonsAnswer, Id, Intent } from '../../../shared/core.ts';

/** What is typed to begin comparing, as it is kept while it is being filled in. */
export interface Form {
  base: Id;
  lines: Id[];
  /** By line: names typed or pasted, one a line. */
  names: Record<Id, string>;
  /** By line: ingredients of bottles that were ticked. */
  shelf: Record<Id, Id[]>;
  /** Pairings typed or pasted, one a line: a name for each line that is ticked, with a plus sign between. */
  pairings: string;
  name: string;
}

export const blank = (base = ''): Form => ({ base, lines: [], names: {}, shelf: {}, pairings: '', name: '' });

export const mostLines = 4;

/** What lay on the disk, when it is such a form. */
export function kept(value: unknown): Form | null {
  if (typeof value !== 'object' || value === null) return null;
  const { base, lines, names, shelf, pairings, name } = value as Partial<Record<keyof Form, unknown>>;
  if (typeof base !== 'string' || typeof pairings !== 'string' || typeof name !== 'string') return null;
  if (!Array.isArray(lines) || typeof names !== 'object' || names === null) return null;
  if (typeof shelf !== 'object' || shelf === null) return null;
  return { base, lines, names, shelf, pairings, name } as Form;
}

/** Names one a line: without bullets and numbers before them, each once, however it is written. */
export function namesOf(text: string): string[] {
  const seen = new Set<string>();
  const names: string[] = [];
  for (const line of text.split(/\r?\n/)) {
    const name = line
      .replace(/^\s*(?:[-*•–]|\d{1,2}[.)])\s+/, '')
      .replace(/\s+/g, ' ')
      .trim();
    const key = name.toLowerCase();
    if (name === '' || seen.has(key)) continue;
    seen.add(key);
    names.push(name);
  }
  return names;
}

/** The names of each column of pasted pairings, and the rows that have not as many parts as there are lines. */
export function pairingsOf(text: string, columns: number): { columns: string[][]; bad: string[] } {
  const lists: string[][] = Array.from({ length: columns }, () => []);
  const bad: string[] = [];
  for (const row of namesOf(text)) {
    const parts = row.split(/\s+\+\s+/).map((part) => part.trim());
    if (parts.length !== columns || parts.includes('')) bad.push(row);
    else parts.forEach((part, i) => lists[i]?.push(part));
  }
  return { columns: lists.map((list) => namesOf(list.join('\n'))), bad };
}

/** How many different glasses there would be, the benchmark's own ingredient counted in each line. */
export function pairingsIn(form: Form): number {
  const { columns } = pairingsOf(form.pairings, form.lines.length);
  return form.lines.reduce((n, line, i) => n * (1 + candidatesOf(form, line, columns[i] ?? []).length), 1);
}

type Candidate = { line: Id; ingredient: Id } | { line: Id; name: string };

function candidatesOf(form: Form, line: Id, pasted: readonly string[]): Candidate[] {
  return [
    ...(form.shelf[line] ?? []).map((ingredient) => ({ line, ingredient })),
    ...namesOf([form.names[line] ?? '', ...pasted].join('\n')).map((name) => ({ line, name })),
  ];
}

/** The intent a form asks for. Lines go in the order of the spec. */
export function compareOf(form: Form, drink: ComparisonsAnswer['drinks'][number], id: Id): Intent {
  const { columns } = pairingsOf(form.pairings, form.lines.length);
  const name = form.name.trim();
  return {
    do: 'compare',
    id,
    base: drink.base,
    lines: form.lines,
    ...(name === '' ? {} : { name }),
    candidates: form.lines.flatMap((line, i) => candidatesOf(form, line, columns[i] ?? [])),
  };
}

/** The ticked lines with one ticked or taken out, in the order of the spec. */
export function ticked(lines: readonly Id[], all: readonly Id[], line: Id): Id[] {
  return lines.includes(line)
    ? lines.filter((it) => it !== line)
    : all.filter((it) => it === line || lines.includes(it));
}
