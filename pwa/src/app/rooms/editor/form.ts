import type { Id, Intent, SpecView } from '../../../shared/core.ts';
import { newId } from '../../ids.ts';
import { readNumber } from '../../parts/read-number.ts';

/** A spec being written. It lies on the disk as a draft while it is not saved. */
export interface Form {
  /** Minted when the form was opened, so that saving twice makes one spec. */
  id: Id;
  drink: string;
  name: string;
  lines: FormLine[];
  method: string;
  ice: string;
  glass: string;
  garnish: string;
  note: string;
  /** Millilitres of all parts together, as typed. */
  total: string;
  slip: boolean;
  /** What stood here when it was opened, of a spec that is changed: only what differs from it is sent. */
  was?: Shown;
}

const texts = ['name', 'method', 'ice', 'glass', 'garnish', 'note', 'total'] as const;
type Texts = Record<(typeof texts)[number], string>;

export interface Shown extends Texts {
  lines: { id: Id; typed: string }[];
}

export interface FormLine {
  /** Tells fields apart while lines come and go. */
  key: number;
  typed: string;
  /** Minted for what this line makes: a line that is added, or more than one that its text turns into. */
  id: Id;
  /** The line of the spec that this one was. */
  keep?: Id;
  /** The person put it elsewhere. */
  moved?: true;
}

export type Sort = 'new' | 'edit' | 'riff';

const lineOf = (key: number, typed: string): FormLine => ({ key, typed, id: newId() });

export function blank(id: Id): Form {
  return {
    id,
    drink: '',
    name: '',
    lines: [lineOf(0, '')],
    method: 'shaken',
    ice: '',
    glass: '',
    garnish: '',
    note: '',
    total: '',
    slip: false,
  };
}

/** The form of a spec to change, or of a riff of it: a full copy of its lines under a name of its own. */
export function formOf(sort: 'edit' | 'riff', view: SpecView, id: Id): Form {
  const lines: FormLine[] = view.lines.map((line, key) => ({ ...lineOf(key, line.typed), keep: line.id }));
  const form: Form = {
    id: sort === 'edit' ? view.id : id,
    drink: view.drink ? view.drink_name : '',
    name: sort === 'edit' ? view.name : '',
    lines: lines.length > 0 ? lines : [lineOf(0, '')],
    method: view.method,
    ice: view.ice,
    glass: view.glass,
    garnish: view.garnish,
    note: sort === 'edit' ? view.note : '',
    total: view.total_ul === null ? '' : String(view.total_ul / 1000),
    slip: false,
  };
  if (sort === 'edit') {
    const { name, method, ice, glass, garnish, note, total } = form;
    form.was = {
      name,
      method,
      ice,
      glass,
      garnish,
      note,
      total,
      lines: view.lines.map(({ id, typed }) => ({ id, typed })),
    };
  }
  return form;
}

const isObject = (it: unknown): it is Record<string, unknown> => typeof it === 'object' && it !== null;
const hasTexts = (it: Record<string, unknown>, fields: readonly string[]) =>
  fields.every((field) => typeof it[field] === 'string');

/** What lay on the disk, if it is a form at all. One that does not say what stood there is held against `shown`. */
export function readForm(kept: unknown, shown?: Shown): Form | null {
  if (!isObject(kept) || !hasTexts(kept, ['id', 'drink', ...texts]) || !Array.isArray(kept.lines)) return null;
  const lines = kept.lines.filter(
    (line: unknown): line is FormLine => isObject(line) && hasTexts(line, ['typed']) && typeof line.key === 'number',
  );
  if (lines.length === 0 || lines.length !== kept.lines.length) return null;
  const was = isShown(kept.was) ? kept.was : shown;
  return {
    ...(kept as unknown as Form),
    lines: lines.map((line) => ({ ...line, id: typeof line.id === 'string' ? line.id : newId() })),
    slip: kept.slip === true,
    ...(was ? { was } : {}),
  };
}

const isShown = (it: unknown): it is Shown =>
  isObject(it) &&
  hasTexts(it, texts) &&
  Array.isArray(it.lines) &&
  it.lines.every((line: unknown) => isObject(line) && hasTexts(line, ['id', 'typed']));

const nextKey = (lines: readonly FormLine[]): number => Math.max(-1, ...lines.map((line) => line.key)) + 1;

/** An empty line after this one; the new line's key. */
export function addLine(lines: readonly FormLine[], after: number): { lines: FormLine[]; key: number } {
  const key = nextKey(lines);
  const at = lines.findIndex((line) => line.key === after);
  const place = at < 0 ? lines.length : at + 1;
  return { lines: [...lines.slice(0, place), lineOf(key, ''), ...lines.slice(place)], key };
}

/** Without this line; the last one is only emptied. */
export function removeLine(lines: readonly FormLine[], key: number): FormLine[] {
  const left = lines.filter((line) => line.key !== key);
  return left.length > 0 ? left : [lineOf(nextKey(lines), '')];
}

/** With this line one place up (-1) or down (1), if there is one. */
export function moveLine(lines: readonly FormLine[], key: number, by: -1 | 1): FormLine[] {
  const at = lines.findIndex((line) => line.key === key);
  const line = lines[at];
  const to = at + by;
  if (!line || to < 0 || to >= lines.length) return [...lines];
  const others = lines.filter((other) => other !== line);
  return [...others.slice(0, to), { ...line, moved: true }, ...others.slice(to)];
}

/** Typed or pasted text: several rows become several lines. */
export function typeLine(lines: readonly FormLine[], key: number, text: string): FormLine[] {
  const [first = '', ...rest] = text.split(/\r\n|\r|\n/);
  let next = nextKey(lines);
  const more = rest.filter((row) => row.trim() !== '').map((typed) => lineOf(next++, typed));
  return lines.flatMap((line) => (line.key === key ? [{ ...line, typed: first }, ...more] : [line]));
}

export const written = (lines: readonly FormLine[]): FormLine[] => lines.filter((line) => line.typed.trim() !== '');

/** What is wrong before the core is asked; an empty form needs a line. */
export function faults(form: Form, inParts: boolean): { lines?: true; total?: true } {
  const out: { lines?: true; total?: true } = {};
  if (written(form.lines).length === 0) out.lines = true;
  const total = readNumber(form.total);
  if (inParts && form.total.trim() !== '' && (total === null || total <= 0)) out.total = true;
  return out;
}

export function intentOf(sort: Sort, form: Form, parent: Id | null, inParts: boolean): Intent {
  const text = (value: string) => value.trim();
  const intent: Extract<Intent, { do: 'spec' }> = { do: 'spec', id: form.id, lines: linesOf(sort, form) };
  const shown = sort === 'edit' ? form.was : undefined;
  for (const field of texts)
    if (field !== 'total' && text(form[field]) !== shown?.[field]) intent[field] = text(form[field]);
  if (sort !== 'edit' && text(form.drink) !== '') intent.drink_name = text(form.drink);
  if (sort === 'riff' && parent) intent.parent = parent;
  if (sort === 'edit' && form.slip) intent.slip = true;
  const total = readNumber(form.total);
  if (inParts && total !== null && total > 0 && form.total !== shown?.total) intent.total_ul = Math.round(total * 1000);
  return intent;
}

/** The lines as they are to be. Of a spec that is changed also which are gone, and what stood in those that are not new. */
function linesOf(sort: Sort, form: Form): Extract<Intent, { do: 'spec' }>['lines'] {
  const before = new Map(sort === 'edit' ? form.was?.lines.map((line) => [line.id, line.typed]) : []);
  const lines: Extract<Intent, { do: 'spec' }>['lines'] = written(form.lines).map(({ id, typed, keep, moved }) => {
    const was = keep === undefined ? undefined : before.get(keep);
    return {
      id,
      typed: typed.trim(),
      ...(keep === undefined ? {} : { keep }),
      ...(was === undefined ? {} : { was }),
      ...(moved && sort === 'edit' ? { moved } : {}),
    };
  });
  const kept = new Set(lines.map(({ keep }) => keep));
  for (const [keep, was] of before) if (!kept.has(keep)) lines.push({ keep, typed: was, was, gone: true });
  return lines;
}
