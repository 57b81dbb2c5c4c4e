import type { BatchAnswer, Id, Intent, Question } from '../../../shared/core.ts';
import { readNumber } from '../../parts/read-number.ts';
import { later } from '../../words.ts';

/** What is typed on the page of a batch, as it is kept while it is being filled in. */
export interface Form {
  by: 'glasses' | 'total' | 'bottle';
  glasses: string;
  total: string;
  bottle: string;
  headspace: string;
  water: 'none' | 'method' | 'percent';
  percent: string;
  fizzy: boolean;
  freezer: boolean;
  below: string;
}

export const blank = (): Form => ({
  by: 'glasses',
  glasses: '8',
  total: '1000',
  bottle: '750',
  headspace: '50',
  water: 'method',
  percent: '20',
  fizzy: false,
  freezer: false,
  below: '18',
});

/** What lay on the disk, when it is such a form. */
export function kept(value: unknown): Form | null {
  if (typeof value !== 'object' || value === null) return null;
  const read = value as Record<string, unknown>;
  const form = blank();
  for (const [key, was] of Object.entries(form)) if (typeof read[key] !== typeof was) return null;
  const { by, water } = read;
  if (by !== 'glasses' && by !== 'total' && by !== 'bottle') return null;
  if (water !== 'none' && water !== 'method' && water !== 'percent') return null;
  return { ...form, ...(read as Partial<Form>), by, water };
}

export type Wrong = Partial<Record<keyof Form, string>>;
export type BatchQuestion = Extract<Question, { q: 'batch' }>;

const above = (text: string): number | null => {
  const n = readNumber(text);
  return n === null || n <= 0 ? null : n;
};

/** The question a form asks, or what is wrong with it, by field. */
export function questionOf(spec: Id, form: Form): { question: BatchQuestion } | { wrong: Wrong } {
  const wrong: Wrong = {};
  const question: BatchQuestion = { q: 'batch', spec, water: form.water };
  const ul = (n: number) => Math.round(n * 1000);
  if (form.by === 'glasses') {
    const n = above(form.glasses);
    if (n === null || !Number.isInteger(n)) wrong.glasses = later.batch.needGlasses(form.glasses);
    else question.servings = n;
  } else if (form.by === 'total') {
    const n = above(form.total);
    if (n === null) wrong.total = later.batch.needMl(form.total);
    else question.total_ul = ul(n);
  } else {
    const holds = above(form.bottle);
    const empty = form.headspace.trim() === '' ? 0 : readNumber(form.headspace);
    if (holds === null) wrong.bottle = later.batch.needMl(form.bottle);
    else if (empty === null || empty >= holds) wrong.headspace = later.batch.needHeadspace(form.headspace);
    else {
      question.bottle_ul = ul(holds);
      if (empty > 0) question.headspace_ul = ul(empty);
    }
  }
  if (form.water === 'percent') {
    const n = readNumber(form.percent);
    if (n === null || n > 300) wrong.percent = later.batch.needPercent(form.percent);
    else question.percent_bp = Math.round(n * 100);
  }
  if (form.fizzy) question.carbonated = true;
  if (form.freezer && !form.fizzy) {
    const n = readNumber(form.below);
    if (n === null || n > 40 || !Number.isInteger(n)) wrong.below = later.batch.needFreezer(form.below);
    else question.freezer_c = n === 0 ? 0 : -n;
  }
  return Object.keys(wrong).length > 0 ? { wrong } : { question };
}

/** What was taken from each bottle, each bottle once, in the order of the lines. */
export function drawsOf(answer: BatchAnswer): { bottle: Id; name: string; ml: number }[] {
  const all = new Map<Id, { bottle: Id; name: string; ml: number }>();
  for (const { bottle, name, takes_ml } of answer.lines.flatMap((line) => line.bottles)) {
    const had = all.get(bottle);
    if (had) had.ml += takes_ml;
    else all.set(bottle, { bottle, name, ml: takes_ml });
  }
  return [...all.values()];
}

/** What a made batch is recorded as. Without water of its own it keeps the figures from before the ice. */
export function makingOf(
  answer: BatchAnswer,
  water: Form['water'],
  it: { id: Id; name: string; keep: number | null; leave: readonly Id[] },
): Extract<Intent, { do: 'making' }> {
  const { abv_percent, sugar_g_per_100ml, acid_percent } =
    water === 'none' ? answer.balance.before : answer.balance.after;
  const whole = (f: { v: number | null; at_least?: boolean }, by: number) =>
    f.v === null || f.at_least ? null : Math.round(f.v * by);
  return {
    do: 'making',
    id: it.id,
    sort: 'batch',
    name: it.name,
    spec: answer.spec,
    made_ul: Math.round((answer.total_ml ?? 0) * 1000),
    ...(answer.servings > 0 ? { servings_x10: Math.round(answer.servings * 10) } : {}),
    ...(answer.water_ml.v === null ? {} : { water_ul: Math.round(answer.water_ml.v * 1000) }),
    draws: drawsOf(answer)
      .filter(({ bottle, ml }) => ml > 0 && !it.leave.includes(bottle))
      .map(({ bottle, ml }) => ({ bottle, vol_ul: Math.round(ml * 1000) })),
    keep_days: it.keep,
    abv_bp: whole(abv_percent, 100),
    sugar_mgl: whole(sugar_g_per_100ml, 10_000),
    acid_mgl: whole(acid_percent, 10_000),
  };
}
