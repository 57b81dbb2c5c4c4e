/**
 * One core for all tabs of a journal. The tab that holds the Web Lock runs it; the others hand their calls over. A tab
 * that does not even say "heard" within two seconds is frozen: the lock is taken from it and the core starts here, from
 * disk. The robbed tab becomes one of the others.
 */
import type { BetweenTabs, CoreCall, News, Reply } from '../shared/messages.ts';

interface Leader {
  run(call: CoreCall): Promise<Reply>;
  close(): void;
}

/** The part of LockManager used here; null where the browser has none: then every tab runs a core of its own. */
export type Locks = Pick<LockManager, 'request'> | null;

export interface Channel {
  post(message: BetweenTabs): void;
  close(): void;
}

export interface TabsEnv {
  journal: string;
  tab: string;
  locks: Locks;
  channel: (hear: (message: BetweenTabs) => void) => Channel;
  lead: () => Leader;
  after: (ms: number, run: () => void) => () => void;
  /** News from whichever tab leads. */
  tell: (news: News) => void;
}

const heardWithinMs = 2_000;
const repliesKept = 64;

interface Waiting {
  call: CoreCall;
  resolve: (reply: Reply) => void;
  cancel: () => void;
}

export class Tabs {
  readonly #env: TabsEnv;
  readonly #channel: Channel;
  readonly #waiting = new Map<number, Waiting>();
  /** Calls of other tabs, by tab and number: a repeated call gets the same reply and is not run again. */
  readonly #running = new Map<string, Promise<Reply>>();
  /** The newest of each news that stays true, for tabs that come later. */
  readonly #standing = new Map<News['news'], News>();
  #no = 0;
  #leader: Leader | null = null;
  #release: (() => void) | null = null;
  #queued: AbortController | null = null;
  #closed = false;

  constructor(env: TabsEnv) {
    this.#env = env;
    this.#channel = env.channel((message) => this.#hear(message));
    this.#post({ hello: env.tab });
    void this.#queue();
  }

  get leads(): boolean {
    return this.#leader !== null;
  }

  async call(call: CoreCall): Promise<Reply> {
    const leader = this.#leader;
    if (leader) {
      const reply = await leader.run(call);
      const robbed = this.#leader !== leader && !this.#closed;
      return robbed && 'fault' in reply ? this.call(call) : reply;
    }
    const no = ++this.#no;
    return new Promise((resolve) => {
      this.#waiting.set(no, { call, resolve, cancel: () => undefined });
      this.#send(no);
    });
  }

  /** News of the core that runs here, for every tab. */
  spread(news: News): void {
    if (this.#closed) return;
    if (news.news === 'sync' || news.news === 'ready') this.#standing.set(news.news, news);
    this.#env.tell(news);
    this.#post({ news });
  }

  close(): void {
    this.#closed = true;
    this.#queued?.abort();
    this.#dropLead();
    for (const { resolve, cancel } of this.#waiting.values()) {
      cancel();
      resolve({ fault: 'tabs: closed' });
    }
    this.#waiting.clear();
    this.#channel.close();
  }

  // ---- the lock

  /** Waits in line for the core. */
  async #queue(): Promise<void> {
    if (this.#closed) return;
    if (!this.#env.locks) {
      this.#lead();
      return;
    }
    const queued = new AbortController();
    this.#queued = queued;
    await this.#hold({ signal: queued.signal });
  }

  /** The tab that has it does not answer. */
  async #steal(): Promise<void> {
    if (this.#closed || this.#leader || !this.#queued) return;
    this.#queued.abort();
    this.#queued = null;
    await this.#hold({ steal: true });
  }

  async #hold(how: LockOptions): Promise<void> {
    const locks = this.#env.locks;
    if (!locks) return;
    try {
      await locks.request(`core.${this.#env.journal}`, how, () => {
        this.#queued = null;
        return this.#lead();
      });
    } catch {
      // In line and called off, or robbed while leading: in the second case go back in line.
      if (!this.#leader) return;
      this.#dropLead();
      void this.#queue();
    }
  }

  /** Runs the core here until closed or robbed. */
  #lead(): Promise<void> {
    if (this.#closed) return Promise.resolve();
    const leader = this.#env.lead();
    this.#leader = leader;
    this.#post({ lead: this.#env.tab });
    for (const [no, { call, resolve, cancel }] of [...this.#waiting]) {
      cancel();
      this.#waiting.delete(no);
      void leader.run(call).then(resolve);
    }
    return new Promise((resolve) => {
      this.#release = resolve;
    });
  }

  #dropLead(): void {
    this.#leader?.close();
    this.#leader = null;
    this.#standing.clear();
    this.#running.clear();
    this.#release?.();
    this.#release = null;
  }

  // ---- calls between tabs

  /** A reply may be ready only after the channel was closed. */
  #post(message: BetweenTabs): void {
    if (!this.#closed) this.#channel.post(message);
  }

  #send(no: number): void {
    const waiting = this.#waiting.get(no);
    if (!waiting) return;
    waiting.cancel();
    this.#post({ from: this.#env.tab, no, call: waiting.call });
    waiting.cancel = this.#env.after(heardWithinMs, () => void this.#steal());
  }

  #hear(message: BetweenTabs): void {
    if (this.#closed) return;
    if ('news' in message) {
      if (!this.#leader) this.#env.tell(message.news);
    } else if ('lead' in message) {
      for (const no of this.#waiting.keys()) this.#send(no);
    } else if ('hello' in message) {
      if (this.#leader) for (const news of this.#standing.values()) this.#post({ news });
    } else if ('from' in message) {
      if (this.#leader) this.#serve(this.#leader, message.from, message.no, message.call);
    } else if (message.to === this.#env.tab) {
      const waiting = this.#waiting.get(message.no);
      if (!waiting) return;
      waiting.cancel();
      if ('reply' in message) {
        this.#waiting.delete(message.no);
        waiting.resolve(message.reply);
      } else {
        waiting.cancel = this.#env.after(heardWithinMs, () => this.#send(message.no));
      }
    }
  }

  #serve(leader: Leader, to: string, no: number, call: CoreCall): void {
    this.#post({ to, no, heard: true });
    const key = `${to} ${no}`;
    let reply = this.#running.get(key);
    if (!reply) {
      reply = leader.run(call);
      this.#running.set(key, reply);
      const oldest = this.#running.keys().next();
      if (this.#running.size > repliesKept && !oldest.done) this.#running.delete(oldest.value);
      void reply.then((it) => {
        if (this.#leader === leader) this.#post({ to, no, reply: it });
      });
      return;
    }
    void reply.then((it) => this.#post({ to, no, reply: it }));
  }
}
