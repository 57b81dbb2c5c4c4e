/**
 * The Go core as WebAssembly. This file alone touches what the core and wasm_exec.js put on globalThis; the rest of the
 * worker sees `Core`: plain calls with typed results. A result is taken as the core says it, nothing is decided here.
 */
import type { Done, Id, Refusal, SyncState } from '../shared/core.ts';

/** Row changes for one transaction. `rev` is the revision they were computed on. */
export interface Change {
  no: number;
  rev: number;
  /** A null key lets the store number the row. */
  put: readonly (readonly [store: string, key: Key | null, value: unknown])[];
  del: readonly (readonly [store: string, key: Key])[];
  strict: boolean;
}
export type Key = string | number | readonly (string | number)[];
export type Row = readonly [key: Key, value: unknown];

export type Outcome = 'done' | 'failed' | 'raced';

export type Result<T> = { ok: T } | { refusal: Refusal } | { fault: string };

/** What the core knows of how the device stands with its server; the rest of SyncState is the carrier's. */
export type CoreState = Pick<SyncState, 'state' | 'unsent' | 'unreadable' | 'code' | 'clock_off_ms'>;

export interface Acted {
  change: Change | null;
  done: Done;
}
export interface Requested {
  ticket: number;
  body: string;
}
export interface Answered {
  change: Change | null;
  next: Next;
  touched: Id[];
  /** nothing: no answer, or none of this journal; refusal: the server's own, with a code; mark: a round was done. */
  heard: 'nothing' | 'refusal' | 'mark' | '';
  /** Before the change is settled. */
  state: CoreState;
}
/** A part of the file that holds everything; `next` asks for the one after it. */
export interface Exported {
  piece: string;
  next: number | null;
}
/** A step of bringing an exported file in. The last one has no change and no next; its counts are final. */
export interface Bringing {
  change: Change | null;
  /** Things of the file that are decided, of so many, once the change is written; so are the counts. */
  done: number;
  total: number;
  /** Entries made. */
  entries: number;
  /** Things that could not be brought. */
  left: number;
  next: number | null;
  touched?: Id[];
}
/** A file joined with what is here, once the change is written. */
export interface Merging {
  change: Change | null;
  entries: number;
  left: number;
}
export type Next = { go: 'again' } | { go: 'idle' } | { go: 'wait'; ms: number } | { go: 'stop'; code: string };

/** What a device can be told at its start. */
export interface Config {
  journal: string;
  app: string;
}

export interface Core {
  /** Forgets everything and begins: loading follows. */
  start(config: Config): Result<unknown>;
  /** An empty store ends loading; only then there is a state. */
  load(store: string, rows: readonly Row[]): Result<Settled | null>;
  act(nowMs: number, offsetMin: number, intent: unknown): Result<Acted>;
  settle(no: number, outcome: Outcome): Result<Settled>;
  request(nowMs: number, maxBytes: number): Result<Requested | null>;
  answer(nowMs: number, ticket: number, status: number, body: string): Result<Answered>;
  read(nowMs: number, offsetMin: number, question: unknown): Result<unknown>;
  exported(nowMs: number, cursor: number): Result<Exported>;
  /** The file is needed with cursor 0 only; each further step when the change before it was settled. */
  brought(nowMs: number, offsetMin: number, cursor: number, file: string): Result<Bringing>;
  merged(file: string): Result<Merging>;
  /** True once the Go program has ended; only a new boot helps. */
  readonly dead: boolean;
}

export type Settled = { state: CoreState };

/** The names the Go side sets; every function takes and returns strings and numbers only. */
interface Exports {
  start(config: string): string;
  load(store: string, rows: string): string;
  act(nowMs: number, offsetMin: number, intent: string): string;
  settle(no: number, outcome: string): string;
  request(nowMs: number, maxBytes: number): string;
  answer(nowMs: number, ticket: number, status: number, body: string): string;
  read(nowMs: number, offsetMin: number, question: string): string;
  exported(nowMs: number, cursor: number): string;
  brought(nowMs: number, offsetMin: number, cursor: number, file: string): string;
  merged(file: string): string;
}

interface GoProgram {
  importObject: WebAssembly.Imports;
  run(instance: WebAssembly.Instance): Promise<void>;
}

interface CoreGlobals {
  Go?: new () => GoProgram;
  fairmeasure?: Exports;
  fairmeasureReady?: () => void;
}

/** Compiles and starts the core; `instantiate` knows where the bytes are. */
export async function boot(
  instantiate: (imports: WebAssembly.Imports) => Promise<WebAssembly.WebAssemblyInstantiatedSource>,
): Promise<Core> {
  const globals = globalThis as CoreGlobals;
  if (!globals.Go) throw new Error('core: wasm_exec.js was not loaded');
  const go = new globals.Go();
  const { instance } = await instantiate(go.importObject);
  const ready = new Promise<void>((resolve) => {
    globals.fairmeasureReady = resolve;
  });
  let dead = false;
  const ended = go.run(instance).then(
    () => {
      dead = true;
    },
    () => {
      dead = true;
    },
  );
  await Promise.race([ready, ended]);
  const exports = globals.fairmeasure;
  if (dead || !exports) throw new Error('core: the program ended before it was ready');
  return over(exports, () => dead);
}

function over(exports: Exports, isDead: () => boolean): Core {
  const call = <T>(run: () => string): Result<T> => {
    if (isDead()) return { fault: 'core: the program has ended' };
    try {
      return resultOf<T>(run());
    } catch (error) {
      return { fault: `core: ${String(error)}` };
    }
  };
  return {
    start: (config) => call(() => exports.start(JSON.stringify(config))),
    load: (store, rows) => call(() => exports.load(store, JSON.stringify(rows))),
    act: (now, offset, intent) => call(() => exports.act(now, offset, JSON.stringify(intent))),
    settle: (no, outcome) => call(() => exports.settle(no, outcome)),
    request: (now, maxBytes) => call(() => exports.request(now, maxBytes)),
    answer: (now, ticket, status, body) => call(() => exports.answer(now, ticket, status, body)),
    read: (now, offset, question) => call(() => exports.read(now, offset, JSON.stringify(question))),
    exported: (now, cursor) => call(() => exports.exported(now, cursor)),
    brought: (now, offset, cursor, file) => call(() => exports.brought(now, offset, cursor, file)),
    merged: (file) => call(() => exports.merged(file)),
    get dead() {
      return isDead();
    },
  };
}

function resultOf<T>(text: string): Result<T> {
  const result: unknown = JSON.parse(text);
  if (typeof result === 'object' && result !== null && ('ok' in result || 'refusal' in result || 'fault' in result)) {
    return result as Result<T>;
  }
  return { fault: `core: an answer that is neither ok, refusal nor fault: ${text.slice(0, 200)}` };
}
