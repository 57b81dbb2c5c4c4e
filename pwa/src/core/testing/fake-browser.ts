/** Web Locks and a BroadcastChannel in memory, for several tabs in one test. A frozen tab hears and does nothing. */
import type { BetweenTabs } from '../../shared/messages.ts';

interface Held {
  owner: string;
  reject: (why: unknown) => void;
}

export class FakeBrowser {
  #held = new Map<string, Held>();
  #line = new Map<string, (() => void)[]>();
  #channels = new Map<string, Map<string, (message: BetweenTabs) => void>>();
  readonly frozen = new Set<string>();
  timers: { tab: string; at: number; run: () => void }[] = [];
  now = 0;

  locks(owner: string): Pick<LockManager, 'request'> {
    const request = (
      name: string,
      options: LockOptions,
      work: (lock: object | null) => Promise<unknown>,
    ): Promise<unknown> =>
      new Promise((resolve, reject) => {
        const take = () => {
          if (options.signal?.aborted) return void this.#next(name);
          const held: Held = { owner, reject };
          this.#held.set(name, held);
          const free = () => {
            if (this.#held.get(name) === held) this.#next(name);
          };
          void Promise.resolve(work(held)).then(resolve, reject).finally(free);
        };
        options.signal?.addEventListener('abort', () => reject(new DOMException('called off', 'AbortError')));
        const holder = this.#held.get(name);
        if (options.steal) {
          holder?.reject(new DOMException('stolen', 'AbortError'));
          queueMicrotask(take);
        } else if (holder && options.ifAvailable) {
          void Promise.resolve(work(null)).then(resolve, reject);
        } else if (holder) {
          this.#line.set(name, [...(this.#line.get(name) ?? []), take]);
        } else {
          this.#held.set(name, { owner, reject });
          queueMicrotask(take);
        }
      });
    return { request } as Pick<LockManager, 'request'>;
  }

  #next(name: string): void {
    this.#held.delete(name);
    this.#line.get(name)?.shift()?.();
  }

  holder(name: string): string | undefined {
    return this.#held.get(name)?.owner;
  }

  channel(name: string, tab: string, hear: (message: BetweenTabs) => void) {
    const all = this.#channels.get(name) ?? new Map<string, (message: BetweenTabs) => void>();
    this.#channels.set(name, all.set(tab, hear));
    let closed = false;
    return {
      post: (message: BetweenTabs) => {
        if (closed) throw new DOMException('Channel is closed', 'InvalidStateError');
        if (this.frozen.has(tab)) return;
        for (const [other, deliver] of all) {
          if (other !== tab)
            setTimeout(() => {
              if (!this.frozen.has(other)) deliver(structuredClone(message));
            });
        }
      },
      close: () => {
        closed = true;
        all.delete(tab);
      },
    };
  }

  after(tab: string) {
    return (ms: number, run: () => void): (() => void) => {
      const timer = { tab, at: this.now + ms, run };
      this.timers.push(timer);
      return () => void (this.timers = this.timers.filter((t) => t !== timer));
    };
  }

  /** Moves the clock in small steps; timers of frozen tabs do not run. */
  async pass(ms: number): Promise<void> {
    const until = this.now + ms;
    await this.rest();
    for (;;) {
      const due = this.timers.filter((t) => t.at <= until && !this.frozen.has(t.tab)).sort((a, b) => a.at - b.at)[0];
      if (!due) break;
      this.timers = this.timers.filter((t) => t !== due);
      this.now = due.at;
      due.run();
      await this.rest();
    }
    this.now = until;
  }

  async rest(): Promise<void> {
    for (let i = 0; i < 8; i++) await new Promise((resolve) => setTimeout(resolve));
  }
}
