import type { Id, Intent, SpecView } from '../../../shared/core.ts';
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
}

export interface FormLine {
  /** Tells fields apart while lines come and go. */
  key: number;
  typed: string;
  /** The line of the spec that this one was. */
  keep?: Id;
}

export type Sort = 'new' | 'edit' | 'riff';

export function blank(id: Id): Form {
  return {
    id,
    drink: '',
    name: '',
    lines: [{ key: 0, typed: '' }],
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
  const lines: FormLine[] = view.lines.map((line, key) => ({ key, typed: line.typed, keep: line.id }));
  return {
    id: sort === 'edit' ? view.id : id,
    drink: view.drink ? view.drink_name : '',
    name: sort === 'edit' ? view.name : '',
    lines: lines.length > 0 ? lines : [{ key: 0, typed: '' }],
    method: view.method,
    ice: view.ice,
    glass: view.glass,
    garnish: view.garnish,
    note: sort === 'edit' ? view.note : '',
    total: view.total_ul === null ? '' : String(view.total_ul / 1000),
    slip: false,
  };
}

/** What lay on the disk, if it is a form at all. */
export function readForm(kept: unknown): Form | null {
  if (typeof kept !== 'object' || kept === null) return null;
  const from = kept as Record<string, unknown>;
  const texts = ['id', 'drink', 'name', 'method', 'ice', 'glass', 'garnish', 'note', 'total'] as const;
  if (!texts.every((field) => typeof from[field] === 'string') || !Array.isArray(from.lines) || from.lines.length === 0)
    return null;
  const lines = from.lines.filter(
    (line: unknown): line is FormLine =>
      typeof line === 'object' &&
      line !== null &&
      'typed' in line &&
      typeof line.typed === 'string' &&
      'key' in line &&
      typeof line.key === 'number',
  );
  return lines.length === from.lines.length ? { ...(kept as Form), slip: from.slip === true } : null;
}

const nextKey = (lines: readonly FormLine[]): number => Math.max(-1, ...lines.map((line) => line.key)) + 1;

/** An empty line after this one; the new line's key. */
export function addLine(lines: readonly FormLine[], after: number): { lines: FormLine[]; key: number } {
  const key = nextKey(lines);
  const at = lines.findIndex((line) => line.key === after);
  const place = at < 0 ? lines.length : at + 1;
  return { lines: [...lines.slice(0, place), { key, typed: '' }, ...lines.slice(place)], key };
}

/** Without this line; the last one is only emptied. */
export function removeLine(lines: readonly FormLine[], key: number): FormLine[] {
  const left = lines.filter((line) => line.key !== key);
  return left.length > 0 ? left : [{ key: nextKey(lines), typed: '' }];
}

/** Typed or pasted text: several rows become several lines. */
export function typeLine(lines: readonly FormLine[], key: number, text: string): FormLine[] {
  const [first = '', ...rest] = text.split(/\r\n|\r|\n/);
  let next = nextKey(lines);
  const more = rest.filter((row) => row.trim() !== '').map((typed) => ({ key: next++, typed }));
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
  const intent: Extract<Intent, { do: 'spec' }> = {
    do: 'spec',
    id: form.id,
    lines: written(form.lines).map((line) => ({ typed: text(line.typed), ...(line.keep ? { keep: line.keep } : {}) })),
    name: text(form.name),
    method: form.method,
    ice: text(form.ice),
    glass: text(form.glass),
    garnish: text(form.garnish),
    note: text(form.note),
  };
  if (sort !== 'edit' && text(form.drink) !== '') intent.drink_name = text(form.drink);
  if (sort === 'riff' && parent) intent.parent = parent;
  if (sort === 'edit' && form.slip) intent.slip = true;
  const total = readNumber(form.total);
  if (inParts && total !== null && total > 0) intent.total_ul = Math.round(total * 1000);
  return intent;
}
