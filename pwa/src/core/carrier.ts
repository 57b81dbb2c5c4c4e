/**
 * The carrier: between the core, which decides, and the disk and the network, which it never sees. One change at a time:
 * the core's rows are written in one transaction, and only then the core and the person hear "saved".
 */
import type { Done, Intent, Question, SyncState } from '../shared/core.ts';
import type { Brought, FileText, Hint, News, Reply } from '../shared/messages.ts';
import type { Change, Config, Core, Exported, Next, Outcome, Result, Row } from './core.ts';
import type { Heard } from './http.ts';

/** What the carrier needs of the disk; JournalDb is it. */
interface Disk {
  /** `newest`: settings, bottles, specs and the newest pours are all fed. */
  load(feed: (store: string, rows: Row[], newest: boolean) => void): Promise<void>;
  apply(change: Change): Promise<Outcome>;
  unsent(): Promise<number>;
  view(key: string): Promise<unknown>;
  putView(key: string, answer: unknown): Promise<void>;
}

export interface CarrierEnv {
  config: Config;
  /** Admitted by a server: only then there is anything to sync with. */
  paired: boolean;
  /** The person signed out here: nothing is sent until this device is paired again. */
  signedOut?: boolean;
  boot: () => Promise<Core>;
  disk: Disk;
  now: () => number;
  /** Minutes the local clock is ahead of UTC. */
  offsetMin: () => number;
  onLine: () => boolean;
  /** POST to the journal's sync route; null is no answer. */
  send: (body: string) => Promise<Heard | null>;
  /** Opens the stream of pokes; the answer closes it. `lost`: the server ended it for good, a token ran out perhaps. */
  pokes: (poke: () => void, lost: () => void) => () => void;
  after: (ms: number, run: () => void) => () => void;
  tell: (news: News) => void;
}

const afterSaveMs = 1_000;
const idleMs = 5 * 60_000;
const afterFaultMs = 5_000;
const afterLostMs = 2_000;
const racesAllowed = 5;
/** What the core says after a fault of its own: it holds nothing any more. */
const notStarted = 'core: not started';
const mendEveryMs = 30_000;
/** What a server takes at most; how much of it a request uses is the core's choice. */
const largestRequest = 512_000;
/** What the core reads at most; a larger file is not even taken into memory. */
const largestFile = 128 << 20;

export class Carrier {
  readonly #env: CarrierEnv;
  #core: Core | null = null;
  #loaded: Promise<Core> | null = null;
  /** The same core, as soon as it can answer questions: when the newest pours are in. */
  #readable: Promise<Core> | null = null;
  /** The end of the line of those who change something. */
  #line: Promise<unknown> = Promise.resolve();
  /** The same of those who bring files in, which takes many turns. */
  #bringers: Promise<unknown> = Promise.resolve();
  #closed = false;

  #exchanging = false;
  #askedAgain = false;
  #wake: { at: number; cancel: () => void } | null = null;
  /** The server asked for quiet until then. */
  #notBefore = 0;
  #closePokes: (() => void) | null = null;
  /** How long to wait when the server will not hold the stream; doubles until a poke comes. */
  #afterLostMs = afterLostMs;
  /** Faults of the core or the disk during the exchange, one after the other. */
  #faults = 0;
  /** When a question last made the core begin anew. */
  #mended = 0;
  /** Why nothing is sent until the person tries again. */
  #stopped: string | null = null;
  #state: SyncState;

  constructor(env: CarrierEnv) {
    this.#env = env;
    this.#state = {
      state: 'local',
      unsent: 0,
      unreadable: 0,
      online: env.onLine(),
      code: null,
      last_ms: null,
      clock_off_ms: 0,
    };
    this.#stopped = stoppedFrom(env);
  }

  /** Boots the core and begins to sync. Calls made meanwhile wait. */
  async start(): Promise<void> {
    const last = await this.#env.disk.view('last_ms').catch(() => null);
    if (typeof last === 'number') this.#state.last_ms = last;
    this.#set({ unsent: await this.#env.disk.unsent().catch(() => 0) }); // until the core is up and says it itself
    await this.#ready().catch(() => undefined);
    this.#kick(0);
  }

  /** The tab was closed or robbed of the core: nothing more is written or sent from here. */
  close(): void {
    this.#closed = true;
    this.#wake?.cancel();
    this.#deafen();
  }

  async ask(question: Question): Promise<Reply> {
    try {
      let result = await this.#read(question);
      if ('fault' in result && result.fault === notStarted && this.#env.now() - this.#mended >= mendEveryMs) {
        this.#mended = this.#env.now(); // not more often: a question that fells the core would be asked again each time
        await this.#inTurn(() => this.#reload());
        result = await this.#read(question);
      }
      if ('ok' in result && question.q === 'tonight')
        void this.#env.disk.putView('tonight', result.ok).catch(() => undefined);
      return result;
    } catch (error) {
      return faultOf(error);
    }
  }

  async #read(question: Question): Promise<Result<unknown>> {
    void this.#ready().catch(() => undefined);
    const core = await (this.#readable ?? this.#ready());
    const result = core.read(this.#env.now(), this.#env.offsetMin(), question);
    if (core.dead) this.#loaded = this.#readable = null; // the next call boots anew
    return result;
  }

  act(intent: Intent): Promise<Reply<Done>> {
    return this.#inTurn(() => this.#act(intent, racesAllowed)).catch(faultOf);
  }

  /** Everything of the journal in one file, of one moment: nothing is written or taken in meanwhile. */
  export(): Promise<Reply<Blob>> {
    return this.#inTurn(async () => {
      let reply = piecesOf(await this.#ready(), this.#env.now());
      if ('fault' in reply && reply.fault === notStarted) {
        await this.#reload();
        reply = piecesOf(await this.#ready(), this.#env.now());
      }
      return reply;
    }).catch(faultOf);
  }

  /**
   * Makes what an exported file holds again in this journal. Each change is on disk before the next; between them others
   * have their turn. Broken off, it leaves what is written, and may be done again. `whole` joins it with this journal in
   * one change.
   */
  take(file: FileText, whole = false): Promise<Reply<Brought>> {
    const turn = this.#bringers.then(() => (whole ? this.#merge(file) : this.#take(file))).catch(faultOf);
    this.#bringers = turn;
    return turn;
  }

  hint(hint: Hint): void {
    if (hint === 'offline') {
      this.#set({ online: false });
      return;
    }
    if (hint === 'retry') {
      this.#notBefore = 0;
      this.#stopped = stoppedFrom(this.#env);
      this.#set({ code: null });
    }
    if (hint === 'visible') this.#listen();
    this.#kick(0);
  }

  /** Resolves when nothing is being written or sent: for tests and for handing over. */
  async quiet(): Promise<void> {
    await this.#line;
  }

  // ---- the core and its rows

  #ready(): Promise<Core> {
    if (this.#closed) return Promise.reject(new Error('carrier: closed'));
    this.#loaded ??= this.#load().catch((error: unknown) => {
      this.#loaded = this.#readable = null; // the next call tries again
      throw error;
    });
    return this.#loaded;
  }

  #load(): Promise<Core> {
    let readable: (core: Core) => void = () => undefined;
    const loaded = (async () => {
      if (!this.#core || this.#core.dead) this.#core = await this.#env.boot();
      const core = this.#core;
      must(core.start(this.#env.config));
      await this.#env.disk.load((store, rows, newest) => {
        must(core.load(store, rows));
        if (newest) {
          readable(core);
          this.#tell({ news: 'ready' });
        }
      });
      const loaded = core.load('', []);
      must(loaded);
      if ('ok' in loaded && loaded.ok) this.#set(loaded.ok.state);
      this.#tell({ news: 'ready' });
      return core;
    })();
    this.#readable = Promise.race([
      new Promise<Core>((resolve) => {
        readable = resolve;
      }),
      loaded,
    ]);
    this.#readable.catch(() => undefined); // whoever asks hears of it
    return loaded;
  }

  /** What the core holds and what is on disk may differ: read the disk again. */
  async #reload(): Promise<void> {
    this.#loaded = this.#readable = null;
    await this.#ready();
    this.#tell({ news: 'changed', ids: [] });
  }

  #inTurn<T>(work: () => Promise<T>): Promise<T> {
    const turn = this.#line.then(work);
    this.#line = turn.catch(() => undefined);
    return turn;
  }

  async #act(intent: Intent, races: number): Promise<Reply<Done>> {
    const core = await this.#ready();
    const result = core.act(this.#env.now(), this.#env.offsetMin(), intent);
    if ('fault' in result) {
      await this.#reload();
      // It fell over something before: this intent has not been tried.
      return result.fault === notStarted && races > 0 ? this.#act(intent, races - 1) : result;
    }
    if ('refusal' in result) return result;
    const { change, done } = result.ok;
    if (change) {
      const outcome = await this.#write(core, change);
      if (outcome === 'raced' && races > 0) return this.#act(intent, races - 1);
      if (outcome !== 'done') return { fault: 'not saved: the device could not write it' };
      this.#tell({ news: 'changed', ids: [done.made, ...done.touched] });
      this.#kick(afterSaveMs);
    }
    return { ok: done };
  }

  async #merge(file: FileText): Promise<Reply<Brought>> {
    const tooLarge = refuseLarge(file);
    if (tooLarge) return tooLarge;
    const text = await file.text();
    for (let races = racesAllowed; ; races--) {
      const step = await this.#inTurn(() => this.#bringIn((core) => core.merged(text)));
      if ('ok' in step) return { ok: { brought: step.ok.entries, not_brought: step.ok.left } };
      if (!('again' in step)) return step;
      if (races === 0) return { fault: step.again };
    }
  }

  async #take(file: FileText): Promise<Reply<Brought>> {
    const tooLarge = refuseLarge(file);
    if (tooLarge) return tooLarge;
    const text = await file.text();
    let total = 0;
    try {
      let before = 0; // entries made before it was begun again
      let written = 0;
      let races = racesAllowed;
      for (let cursor = 0; ;) {
        const now = () => [this.#env.now(), this.#env.offsetMin()] as const;
        const step = await this.#inTurn(() =>
          this.#bringIn((core) => core.brought(...now(), cursor, cursor === 0 ? text : ''), cursor > 0),
        );
        if ('ok' in step) {
          const { done, entries, left, next } = step.ok;
          written = entries;
          if (next === null) return { ok: { brought: before + entries, not_brought: left } };
          total = step.ok.total;
          cursor = next;
          this.#tell({ news: 'bringing', done: Math.min(done, total - 1), total }); // not over before its last word
        } else if ('again' in step && races-- > 0) {
          // What was written stays and is passed over: the core goes by what is there.
          before += written;
          written = 0;
          cursor = 0;
        } else {
          return 'again' in step ? { fault: step.again } : step;
        }
      }
    } finally {
      if (total > 0) this.#tell({ news: 'bringing', done: total, total });
    }
  }

  /** One change of those that bring something in. `again`: another tab was quicker, or the core began anew meanwhile. */
  async #bringIn<T extends { change: Change | null; touched?: readonly string[] }>(
    ask: (core: Core) => Result<T>,
    begun = false,
  ): Promise<Result<T> | { again: string }> {
    const core = await this.#ready();
    const result = ask(core);
    if ('fault' in result) {
      await this.#reload();
      return begun || result.fault === notStarted ? { again: result.fault } : result;
    }
    if (!('ok' in result)) return result;
    const { change, touched } = result.ok;
    if (change) {
      const outcome = await this.#write(core, change);
      if (outcome === 'raced') return { again: 'not saved: another tab was quicker' };
      if (outcome !== 'done') return { fault: 'not saved: the device could not write it' };
      this.#tell({ news: 'changed', ids: touched ?? [] });
      this.#kick(afterSaveMs);
    }
    return result;
  }

  /** One change onto the disk, and the core told how it went. Anything but `done` is followed by a reload. */
  async #write(core: Core, change: Change): Promise<Outcome> {
    if (this.#closed) return 'failed';
    const outcome = await this.#env.disk.apply(change);
    const settled = core.settle(change.no, outcome);
    if (outcome !== 'done' || !('ok' in settled)) await this.#reload();
    else this.#set(settled.ok.state);
    return outcome;
  }

  // ---- the exchange with the server

  /** Syncs in `ms`, or sooner if that was already planned; never before the server wants it. */
  #kick(ms: number): void {
    if (this.#closed || !this.#env.paired || this.#stopped !== null) return;
    const now = this.#env.now();
    const at = Math.max(now + ms, this.#notBefore);
    if (this.#wake && this.#wake.at <= at) return;
    this.#wake?.cancel();
    this.#wake = {
      at,
      cancel: this.#env.after(at - now, () => {
        this.#wake = null;
        void this.#exchange();
      }),
    };
  }

  async #exchange(): Promise<void> {
    if (this.#exchanging) {
      this.#askedAgain = true;
      return;
    }
    this.#exchanging = true;
    let next: Next = { go: 'again' };
    try {
      while (next.go === 'again' && !this.#closed) {
        this.#askedAgain = false;
        next = await this.#round();
        if (next.go === 'idle' && this.#askedAgain) next = { go: 'again' };
      }
    } catch {
      next = this.#afterFault();
    } finally {
      this.#exchanging = false;
    }
    if (next.go === 'stop') {
      this.#deafen();
      this.#stopped = next.code;
      this.#set({});
    } else {
      this.#kick(next.go === 'wait' ? next.ms : idleMs);
    }
  }

  /** One request and its answer. */
  async #round(): Promise<Next> {
    const asked = await this.#inTurn(async () => {
      const core = await this.#ready();
      const result = core.request(this.#env.now(), largestRequest);
      if ('fault' in result) await this.#reload();
      return result;
    });
    if (!('ok' in asked)) return this.#afterFault();
    if (asked.ok === null) return { go: 'idle' };
    const { ticket, body } = asked.ok;
    const heard = await this.#env.send(body);
    if (this.#closed) return { go: 'idle' };
    return this.#inTurn(() => this.#heard(ticket, heard));
  }

  async #heard(ticket: number, heard: Heard | null): Promise<Next> {
    const core = await this.#ready();
    const result = core.answer(this.#env.now(), ticket, heard?.status ?? 0, heard?.body ?? '');
    if (!('ok' in result)) {
      await this.#reload();
      return this.#afterFault();
    }
    const { change, next, touched, heard: said, state } = result.ok;
    if (change) {
      const outcome = await this.#write(core, change);
      if (outcome === 'raced') return { go: 'again' };
      if (outcome === 'failed') return this.#afterFault();
      this.#tell({ news: 'changed', ids: touched });
    } else {
      this.#set(state);
    }
    this.#faults = 0;
    if (said === 'mark') {
      if (!this.#closePokes) this.#listen();
      const last = this.#env.now();
      this.#set({ online: true, last_ms: last });
      void this.#env.disk.putView('last_ms', last).catch(() => undefined);
    } else if (said === 'refusal') {
      this.#set({ online: true });
    } else if (said === 'nothing') {
      this.#deafen(); // a stream would only knock every few seconds
      this.#set({ online: false });
    }
    if (heard?.retryAfterMs != null && next.go === 'wait') {
      this.#notBefore = this.#env.now() + heard.retryAfterMs;
      return { go: 'wait', ms: Math.max(next.ms, heard.retryAfterMs) };
    }
    return next;
  }

  /** Something broke here, not at the server: try again, ever more slowly. */
  #afterFault(): Next {
    return { go: 'wait', ms: Math.min(afterFaultMs * 2 ** this.#faults++, idleMs) };
  }

  #listen(): void {
    if (this.#closed || !this.#env.paired || this.#stopped !== null) return;
    this.#deafen(); // in the background such streams die without a word: always a new one
    this.#closePokes = this.#env.pokes(
      () => {
        this.#afterLostMs = afterLostMs;
        this.#kick(0);
      },
      () => {
        this.#deafen();
        this.#kick(this.#afterLostMs); // the exchange renews the token; after its answer the stream is opened again
        this.#afterLostMs = Math.min(this.#afterLostMs * 2, idleMs);
      },
    );
  }

  #deafen(): void {
    this.#closePokes?.();
    this.#closePokes = null;
  }

  // ---- what the person is told

  /** A closed carrier may still be reading the disk, of a journal that is open no more: it keeps that to itself. */
  #tell(news: News): void {
    if (!this.#closed) this.#env.tell(news);
  }

  #set(part: Partial<SyncState>): void {
    Object.assign(this.#state, part);
    this.#tell({ news: 'sync', state: this.#told() });
  }

  /** The core speaks of what it has heard since it started; whether there is a server at all, and since when, is known here. */
  #told(): SyncState {
    const state = { ...this.#state };
    if (!this.#env.paired) return { ...state, state: 'local', code: null };
    if (this.#stopped !== null) return { ...state, state: 'stopped', code: this.#stopped };
    if (state.state === 'local' && state.unsent > 0) state.state = 'unsent';
    if (state.state === 'local') state.state = state.last_ms === null ? 'catching_up' : 'asking';
    return state;
  }
}

/** Each piece goes into a Blob at once, which the browser may keep outside its memory. */
function piecesOf(core: Core, now: number): Reply<Blob> {
  const pieces: Blob[] = [];
  for (let cursor: number | null = 0; cursor !== null;) {
    const result: Result<Exported> = core.exported(now, cursor);
    if (!('ok' in result)) return result;
    pieces.push(new Blob([result.ok.piece]));
    cursor = result.ok.next;
  }
  return { ok: new Blob(pieces, { type: 'application/json' }) };
}

function refuseLarge(file: FileText): Exclude<Reply<never>, { fault: string }> | null {
  if (file.size <= largestFile) return null;
  const text = `the file is ${file.size} bytes, at most ${largestFile} are read`;
  return { refusal: { code: 'file_too_large', field: 'file', text } };
}

function stoppedFrom(env: CarrierEnv): string | null {
  return env.signedOut ? 'signed_out' : null;
}

function must(result: { ok: unknown } | { refusal: { text: string } } | { fault: string }): void {
  if ('fault' in result) throw new Error(result.fault);
  if ('refusal' in result) throw new Error(result.refusal.text);
}

function faultOf(error: unknown): { fault: string } {
  return { fault: error instanceof Error ? error.message : String(error) };
}
