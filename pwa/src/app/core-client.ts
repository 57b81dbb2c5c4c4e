/**
 * The page's half of the worker: questions, intents, forms, requests. A screen uses `useAnswer` to draw and `act` to
 * save; nothing else in the app talks to the worker.
 */
import { useEffect, useState } from 'preact/hooks';
import type { AnswerTo, Done, Id, Intent, Question, Refusal } from '../shared/core.ts';
import type {
  ApiAnswer,
  Brought,
  Call,
  Claimed,
  Door,
  Forgotten,
  FromWorker,
  Held,
  Hint,
  Left,
  Reply,
  ToWorker,
} from '../shared/messages.ts';
import { bringing, erased, journal, kept, ready, storage, sync } from './state.ts';

export type { Brought, Forgotten, Held };

/** The input was not acceptable: code and field for the screen, text for the person. */
export class RefusedError extends Error {
  readonly refusal: Refusal;
  constructor(refusal: Refusal) {
    super(refusal.text);
    this.refusal = refusal;
  }
}

// ---- the worker

let worker: Worker | null = null;
let no = 0;
const waiting = new Map<number, (reply: Reply) => void>();

/** Starts the worker, so that the journal is read while the first page is drawn. */
export function start(): void {
  workerOf();
  const hint = (it: Hint) => void call({ call: 'hint', hint: it }).catch(() => undefined);
  document.addEventListener('visibilitychange', () => {
    if (document.visibilityState === 'visible') {
      hint('visible');
      stale();
    }
  });
  addEventListener('pageshow', (event) => {
    if (event.persisted) hint('visible');
  });
  addEventListener('online', () => hint('online'));
  addEventListener('offline', () => hint('offline'));
}

function workerOf(): Worker {
  if (worker) return worker;
  const fresh = new Worker(new URL('../core/core.worker.ts', import.meta.url), { type: 'module' });
  fresh.onmessage = (event: MessageEvent<FromWorker>) => hear(event.data);
  fresh.onerror = () => {
    // The worker is lost; what it was asked is unclear. The next call starts a new one, which reads the disk.
    if (worker === fresh) worker = null;
    fresh.terminate();
    const lost = [...waiting.values()];
    waiting.clear();
    for (const resolve of lost) resolve({ fault: 'the worker ended' });
  };
  worker = fresh;
  return fresh;
}

function hear(message: FromWorker): void {
  switch (message.say) {
    case 'reply':
      waiting.get(message.no)?.(message.reply);
      waiting.delete(message.no);
      return;
    case 'journal':
      ready.value = false;
      journal.value = message.journal;
      return;
    case 'known':
      journal.value = message.journal;
      return;
    case 'view':
      if (message.question.q === 'tonight' && !ready.value)
        firstViews.set(JSON.stringify(message.question), message.answer);
      stale();
      return;
    case 'outdated':
      storage.value = 'outdated';
      return;
    case 'erased':
      erased.value = message.left;
      sync.value = { ...sync.peek(), state: 'local', unsent: 0, code: null };
      return;
    case 'no_disk':
      storage.value = 'none';
      return;
    case 'news':
      if (message.news.news === 'sync') sync.value = message.news.state;
      else if (message.news.news === 'ready') {
        ready.value = true;
        stale();
      } else if (message.news.news === 'bringing') bringing.value = over(message.news) ? null : message.news;
      else stale(message.news.ids);
  }
}

const over = ({ done, total }: { done: number; total: number }): boolean => done >= total;

async function call(it: Call): Promise<unknown> {
  const reply = await new Promise<Reply>((resolve) => {
    const mine = ++no;
    waiting.set(mine, resolve);
    workerOf().postMessage({ no: mine, call: it } satisfies ToWorker);
  });
  if ('ok' in reply) return reply.ok;
  if ('refusal' in reply) throw new RefusedError(reply.refusal);
  throw new Error(reply.fault);
}

// ---- questions

/** A question to the core; resolves with the answer as of now. */
export async function ask<Q extends Question>(question: Q): Promise<AnswerTo<Q>> {
  return (await call({ call: 'ask', question })) as AnswerTo<Q>;
}

/** Things changed (none named: anything may have). */
type Listener = (ids: readonly Id[]) => void;
const listeners = new Set<Listener>();

/** Calls `listener` after every change to the journal, here or from elsewhere. The answer ends it. */
export function subscribe(listener: Listener): () => void {
  listeners.add(listener);
  return () => listeners.delete(listener);
}

function stale(ids: readonly Id[] = []): void {
  for (const listener of [...listeners]) listener(ids);
}

/** An answer that stays true: asked again after every change. */
export interface Live<T> {
  /** null until the first answer; then the newest one, also while a newer is on its way. */
  answer: T | null;
  /** The answer is of the question as it was put before: nothing may be saved from it. */
  behind: boolean;
  /** The answer is from last time, the core is not up yet. */
  old: boolean;
  fault: string | null;
  refusal: Refusal | null;
  /** Over 300 ms without a first answer: time for a skeleton. */
  slow: boolean;
}

/** What the answer is about, and the very question it answers. */
type Kept<T> = Omit<Live<T>, 'behind'> & { thing: string; of: string };

/** Answers of last time, to draw from until the core is up. */
const firstViews = new Map<string, unknown>();
/** Time alone changes these: the pace, the session, the week. */
const passing: ReadonlySet<Question['q']> = new Set(['tonight', 'week']);
/** What a question is about. Its other parts only narrow it: the answer before stays on screen while they change. */
const about = (it: Question): string =>
  JSON.stringify([it.q, 'id' in it ? it.id : null, 'spec' in it ? it.spec : null]);
const slowMs = 300;
const passingMs = 60_000;

/** For screens: const { answer, slow } = useAnswer({ q: 'week' }). */
export function useAnswer<Q extends Question>(question: Q): Live<AnswerTo<Q>> {
  const key = JSON.stringify(question);
  const thing = about(question);
  const empty = { answer: null, of: key, old: false, fault: null, refusal: null, slow: false };
  const [live, setLive] = useState<Kept<AnswerTo<Q>>>({ thing, ...empty });

  useEffect(() => {
    let gone = false;
    let newest = 0;
    const set = (part: Partial<Kept<AnswerTo<Q>>>) => {
      if (!gone) setLive((before) => ({ ...(before.thing === thing ? before : empty), ...part, thing }));
    };
    const again = async () => {
      const mine = ++newest;
      const first = firstViews.get(key);
      if (first !== undefined && !ready.peek()) set({ answer: first as AnswerTo<Q>, of: key, old: true });
      try {
        const answer = await ask(JSON.parse(key) as Q);
        if (mine === newest) set({ answer, of: key, old: false, fault: null, refusal: null, slow: false });
      } catch (error) {
        if (mine !== newest) return;
        if (error instanceof RefusedError) set({ refusal: error.refusal, fault: null, slow: false });
        else set({ fault: error instanceof Error ? error.message : String(error), slow: false });
      }
    };
    const slow = setTimeout(() => set({ slow: true }), slowMs);
    const minute = passing.has(question.q) ? setInterval(() => void again(), passingMs) : undefined;
    const stop = subscribe(() => void again());
    void again().then(() => clearTimeout(slow));
    return () => {
      gone = true;
      clearTimeout(slow);
      clearInterval(minute);
      stop();
    };
  }, [key]);

  const { of, ...now } = live.thing === thing ? live : empty;
  return { ...now, behind: of !== key };
}

// ---- what a person does

/** Something a person did. Resolves when it is on this device's disk ("saved"), never before. Rejects with RefusedError or Error. */
export async function act(intent: Intent): Promise<Done> {
  const done = (await call({ call: 'act', intent: normalised(withZone(intent)) })) as Done;
  void askToKeep();
  return done;
}

/** Text is made NFC where it is typed, never where it is merged. */
function normalised<T>(value: T): T {
  if (typeof value === 'string') return value.normalize('NFC') as T;
  if (Array.isArray(value)) return value.map(normalised) as T;
  if (typeof value === 'object' && value !== null) {
    return Object.fromEntries(Object.entries(value).map(([name, part]) => [name, normalised(part)])) as T;
  }
  return value;
}

/** The zone in force here; the core gets the offset with every call and never loads a zone. */
function withZone(intent: Intent): Intent {
  if (intent.do !== 'pour' && intent.do !== 'again' && intent.do !== 'plain' && intent.do !== 'water') return intent;
  return { zone: Intl.DateTimeFormat().resolvedOptions().timeZone, ...intent };
}

/** After the first save the browser is asked to keep what is here; its answer stands in Keeper. */
async function askToKeep(): Promise<void> {
  if (kept.peek() === true) return;
  try {
    kept.value = (await navigator.storage.persisted()) || (await navigator.storage.persist());
  } catch {
    kept.value = null;
  }
}

/** The person wants to try again now. */
export function syncNow(): void {
  void call({ call: 'hint', hint: 'retry' }).catch(() => undefined);
}

// ---- forms

/** A half-filled form, kept on disk as it is typed; null when there is none. */
export async function draft(key: string): Promise<string | null> {
  return (await call({ call: 'draft', key })) as string | null;
}

/** null drops it: it was saved or put away. */
export async function keepDraft(key: string, value: string | null): Promise<void> {
  await call({ call: 'draft', key, put: value });
}

// ---- taking it along, and leaving

/** Everything on this device as JSON: the open journal first, then those kept apart. */
export async function files(): Promise<Blob[]> {
  return (await call({ call: 'files' })) as Blob[];
}

/** What each journal on this device holds, the open one first. */
export async function held(): Promise<Held[]> {
  return (await call({ call: 'held' })) as Held[];
}

/** Signs this device out; `erase` takes away everything on it as well. */
export async function leave(erase: boolean): Promise<Left> {
  return (await call({ call: 'leave', erase })) as Left;
}

// ---- bringing entries along

/**
 * What becomes of entries written on this device before (journal.undecided). Resolves when all of them are on disk here;
 * `bringing` tells how far it is. May be called again at any time: what is here already is not brought twice.
 * `forgotten` names a journal that the server does not know, which comes whole.
 */
export async function bring(how: 'along' | 'apart', forgotten?: string): Promise<Brought> {
  return taken({ call: 'bring', how, ...(forgotten === undefined ? {} : { journal: forgotten }) });
}

/** Brings the entries of an exported file into the open journal. RefusedError `file_too_large`, `not_an_export`. */
export async function bringFile(file: Blob): Promise<Brought> {
  return taken({ call: 'bringFile', file });
}

async function taken(it: Call): Promise<Brought> {
  try {
    return (await call(it)) as Brought;
  } finally {
    bringing.value = null;
  }
}

// ---- the server beside syncing

/** A request to /api/v1; status 0 when no answer came. */
export async function api(method: 'GET' | 'POST' | 'DELETE', path: string, body?: unknown): Promise<ApiAnswer> {
  return (await call({ call: 'api', method, path, ...(body === undefined ? {} : { body }) })) as ApiAnswer;
}

/** Redeems a one-time code for this device. */
export async function redeem(code: string, name: string): Promise<ApiAnswer> {
  return (await call({ call: 'pair', code, name })) as ApiAnswer;
}

/**
 * Sets the server up, signs in, or joins with an invitation: POST /api/v1/auth/<path>. On 200 this device is in, and the
 * account's journal is open.
 */
export async function enter(path: Door, body: Record<string, string>): Promise<ApiAnswer> {
  return (await call({ call: 'enter', path, body })) as ApiAnswer;
}

/** Asks who this device is signed in as; `journal` (role, has_password, names) says it afterwards. */
export async function me(): Promise<ApiAnswer> {
  return (await call({ call: 'me' })) as ApiAnswer;
}

/** Asks once whether the confirmation this device waits for has come; nothing is sent when it waits for none. */
export async function claim(): Promise<Claimed> {
  return (await call({ call: 'claim' })) as Claimed;
}

/** This device waits no longer to be confirmed. */
export async function dropClaim(): Promise<void> {
  await call({ call: 'claim', drop: true });
}
