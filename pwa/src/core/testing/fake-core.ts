/**
 * A core for tests: keeps a journal of numbered entries by the rules a core must obey (one change at a time, visible only
 * after `done`, new rows computed on a revision), and counts what it is told. It knows nothing of drinks.
 */
import { codeOf } from '../http.ts';
import type { Change, Config, Core, Outcome, Result, Row } from '../core.ts';
import type { Acted, Answered, Bringing, CoreState, Exported, Merging, Next, Requested, Settled } from '../core.ts';

/** JSON that is not of our server: a hotel's sign-in service, say. */
export const foreign = '{"login":"required"}';

export interface Entry {
  id: string;
  text: string;
}

export class FakeCore implements Core {
  dead = false;
  starts = 0;
  readonly settled: Outcome[] = [];
  /** What the next answers decide, in order; idle when empty. */
  readonly nexts: Next[] = [];
  readonly heard: { status: number; body: string }[] = [];
  #rev = 0;
  #no = 0;
  #ticket = 0;
  #queue = new Map<number, Entry>();
  #copy = new Map<string, Entry>();
  #ready = false;
  #pending: { no: number; apply: () => void } | null = null;
  #needsLoad = false;
  /** Questions at which this core falls, as a Go program does at a mistake of ours. */
  readonly fells = new Set<string>();
  #fallen = false;

  start(_config: Config): Result<null> {
    this.starts++;
    this.#rev = 0;
    this.#queue.clear();
    this.#copy.clear();
    this.#ready = false;
    this.#pending = null;
    this.#bringing = null;
    this.#needsLoad = false;
    this.#fallen = false;
    return { ok: null };
  }

  load(store: string, rows: readonly Row[]): Result<Settled | null> {
    if (store === '') {
      this.#ready = true;
      this.#answered = false;
      return { ok: { state: this.#state() } };
    }
    for (const [key, value] of rows) {
      if (store === 'meta' && key === 'rev') this.#rev = Number(value);
      if (store === 'queue') this.#queue.set(key as number, value as Entry);
      if (store === 'copy') this.#copy.set((value as Entry).id, value as Entry);
    }
    return { ok: null };
  }

  act(_now: number, _offset: number, intent: unknown): Result<Acted> {
    const bad = this.#bad();
    if (bad) return bad;
    const entry = intent as Entry;
    if (entry.text === '') return { refusal: { code: 'empty', field: 'text', text: 'nothing was written' } };
    const key = Math.max(0, ...this.#queue.keys()) + 1;
    const change = this.#change(
      {
        put: [
          ['queue', key, entry],
          ['meta', 'last', entry.id],
        ],
        del: [],
        strict: true,
      },
      () => this.#queue.set(key, entry),
    );
    return { ok: { change, done: { made: entry.id, touched: [] } } };
  }

  settle(no: number, outcome: Outcome): Result<Settled> {
    if (this.#pending?.no !== no) return { fault: `settle: ${no} is not the pending change` };
    this.settled.push(outcome);
    if (outcome === 'done') {
      this.#pending.apply();
      this.#rev++;
    } else {
      this.#needsLoad = true;
    }
    this.#pending = null;
    return { ok: { state: this.#state() } };
  }

  request(): Result<Requested | null> {
    const bad = this.#bad();
    if (bad) return bad;
    return { ok: { ticket: ++this.#ticket, body: JSON.stringify([...this.#queue.values()]) } };
  }

  /** An answer of 200 takes every queued entry into the copy, in one change. */
  answer(_now: number, ticket: number, status: number, body: string): Result<Answered> {
    const bad = this.#bad();
    if (bad) return bad;
    this.heard.push({ status, body });
    const next = this.nexts.shift() ?? { go: 'idle' };
    const heard =
      status === 200 && body !== foreign ? 'mark' : status === 0 || body === foreign ? 'nothing' : 'refusal';
    this.#answered = heard === 'mark' && next.go === 'idle';
    this.#refused = heard === 'refusal' ? codeOf(body) || null : null;
    if (ticket !== this.#ticket || heard !== 'mark')
      return { ok: { change: null, next, touched: [], heard, state: this.#state(next) } };
    const taken = [...this.#queue];
    const change = this.#change(
      {
        put: taken.map(([, entry]) => ['copy', ['pour', entry.id], entry]),
        del: taken.map(([key]) => ['queue', key]),
        strict: false,
      },
      () => {
        for (const [key, entry] of taken) {
          this.#queue.delete(key);
          this.#copy.set(entry.id, entry);
        }
      },
    );
    this.#more = next.go === 'again';
    return { ok: { change, next, touched: taken.map(([, entry]) => entry.id), heard, state: this.#state(next) } };
  }

  read(_now: number, _offset: number, question: unknown): Result<{ texts: string[]; queued: number }> {
    if (this.#fallen) return { fault: 'core: not started' };
    if (this.fells.has((question as { q: string }).q)) {
      this.#fallen = true;
      return { fault: 'core: index out of range' };
    }
    return {
      ok: {
        texts: [...this.#copy.values(), ...this.#queue.values()].map((e) => e.text).sort(),
        queued: this.#queue.size,
      },
    };
  }

  /** Two pieces: what is queued, then what was taken. */
  exported(_now: number, cursor: number): Result<Exported> {
    const bad = this.#bad();
    if (bad) return bad;
    const of = [...(cursor === 0 ? this.#queue : this.#copy).values()].map((e) => e.text).sort();
    return { ok: { piece: `${JSON.stringify(of)}\n`, next: cursor === 0 ? 1 : null } };
  }

  #bringing: { entries: Entry[]; at: number; step: number; made: number } | null = null;

  /** A file is a list of entries; two a step; what is here already is not made again. */
  brought(_now: number, _offset: number, cursor: number, file: string): Result<Bringing> {
    const bad = this.#bad();
    if (bad) return bad;
    if (cursor === 0) {
      if (!file.startsWith('[')) return { refusal: { code: 'not_an_export', field: 'file', text: 'no list' } };
      this.#bringing = { entries: JSON.parse(file) as Entry[], at: 0, step: 0, made: 0 };
    }
    const b = this.#bringing;
    if (!b || b.step !== cursor) return { fault: 'brought: expected the steps in order' };
    const here = new Set([...this.#queue.values(), ...this.#copy.values()].map((e) => e.id));
    let lacking: Entry[] = [];
    while (lacking.length === 0 && b.at < b.entries.length) {
      lacking = b.entries.slice(b.at, b.at + 2).filter((e) => !here.has(e.id));
      b.at += 2;
    }
    b.step++;
    b.made += lacking.length;
    const total = b.entries.length;
    const counts = { done: Math.min(b.at, total), total, entries: b.made, left: 0 };
    if (lacking.length === 0) {
      this.#bringing = null;
      return { ok: { change: null, ...counts, next: null } };
    }
    const key = Math.max(0, ...this.#queue.keys());
    const change = this.#change({ put: lacking.map((e, i) => ['queue', key + 1 + i, e]), del: [], strict: true }, () =>
      lacking.forEach((e, i) => this.#queue.set(key + 1 + i, e)),
    );
    return { ok: { change, ...counts, next: b.step, touched: lacking.map((e) => e.id) } };
  }

  /** A file is a list of entries; they go into the copy, in one change. */
  merged(file: string): Result<Merging> {
    const bad = this.#bad();
    if (bad) return bad;
    if (!file.startsWith('[')) return { refusal: { code: 'not_an_export', field: 'file', text: 'no list' } };
    const lacking = (JSON.parse(file) as Entry[]).filter((e) => !this.#copy.has(e.id));
    if (lacking.length === 0) return { ok: { change: null, entries: 0, left: 0 } };
    const put = lacking.map((e) => ['copy', ['pour', e.id], e] as const);
    const change = this.#change({ put, del: [], strict: true }, () => lacking.forEach((e) => this.#copy.set(e.id, e)));
    return { ok: { change, entries: lacking.length, left: 0 } };
  }

  #more = false;
  #answered = false;
  #refused: string | null = null;
  /** Rows it says it cannot read. */
  unreadable = 0;

  #state(next?: Next): CoreState {
    const unsent = this.#queue.size + this.unreadable;
    const state =
      next?.go === 'stop'
        ? 'stopped'
        : this.#more
          ? 'catching_up'
          : unsent > 0
            ? 'unsent'
            : this.#answered
              ? 'synced'
              : 'local';
    const code = next?.go === 'stop' ? next.code : this.#refused;
    return { state, unsent, unreadable: this.unreadable, code, clock_off_ms: 0 };
  }

  #bad(): { fault: string } | null {
    if (this.#fallen) return { fault: 'core: not started' };
    if (!this.#ready) return { fault: 'not ready' };
    if (this.#pending) return { fault: 'a change is not settled yet' };
    if (this.#needsLoad) return { fault: 'must be loaded again' };
    return null;
  }

  #change(rows: Pick<Change, 'put' | 'del' | 'strict'>, apply: () => void): Change {
    const no = ++this.#no;
    this.#pending = { no, apply };
    return { no, rev: this.#rev, ...rows };
  }
}
