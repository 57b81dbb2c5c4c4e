/** Takes the worker's place in a page, before the app starts: the scene answers instead of the core. */
import type { Refusal, SyncState } from '../src/shared/core.ts';
import type { ApiAnswer, Call, FromWorker, OpenJournal, Reply, ToWorker } from '../src/shared/messages.ts';
import { answerTo, type Scene } from './answers.ts';

export interface Stage {
  scene: Scene;
  sync: SyncState;
  journal: OpenJournal;
  /** ms before a question is answered; -1: never. */
  wait: number;
  /** This question ends in a fault. */
  broken: string;
  /** This question is refused. */
  refused?: { q: string; refusal: Refusal };
  api: Record<string, ApiAnswer>;
  /** So far entries are brought along, and no further. */
  bringing: { done: number; total: number } | null;
  /** What lies on the device besides the open journal. */
  held?: readonly object[];
}

const heldOpen = {
  id: '00',
  account: 'Bar',
  standing: 'open',
  counts: { drinks: 14, specs: 21, pours: 312, bottles: 9 },
  rows: 900,
  unsent: 0,
  unreadable: 0,
};

class FakeWorker extends EventTarget {
  onmessage: ((event: MessageEvent<FromWorker>) => void) | null = null;
  onerror: (() => void) | null = null;
  private readonly stage: Stage;
  private readonly drafts = new Map<string, string>();

  constructor() {
    super();
    this.stage = (globalThis as unknown as { stage: Stage }).stage;
    setTimeout(() => {
      this.say({ say: 'journal', journal: this.stage.journal });
      this.say({ say: 'news', news: { news: 'sync', state: this.stage.sync } });
      this.say({ say: 'news', news: { news: 'ready' } });
    });
  }

  postMessage({ no, call }: ToWorker): void {
    if (call.call === 'enter') (globalThis as unknown as { entered: unknown }).entered = call;
    if ((call.call === 'bring' || call.call === 'bringFile') && this.stage.bringing !== null) {
      this.say({ say: 'news', news: { news: 'bringing', ...this.stage.bringing } });
      return;
    }
    const wait = call.call === 'ask' ? this.stage.wait : 0;
    if (wait < 0) return;
    setTimeout(() => this.say({ say: 'reply', no, reply: this.replyTo(call) }), wait);
  }

  terminate(): void {}

  private say(message: FromWorker): void {
    this.onmessage?.(new MessageEvent('message', { data: message }));
  }

  private replyTo(call: Call): Reply {
    switch (call.call) {
      case 'ask':
        if (call.question.q === this.stage.broken) return { fault: 'core: the program has ended' };
        if (call.question.q === this.stage.refused?.q) return { refusal: this.stage.refused.refusal };
        return { ok: answerTo(this.stage.scene, call.question) };
      case 'act': {
        const made = 'id' in call.intent ? call.intent.id : call.intent.do;
        setTimeout(() => this.say({ say: 'news', news: { news: 'changed', ids: [] } }));
        return { ok: { made, touched: [] } };
      }
      case 'hint':
        return { ok: null };
      case 'export':
      case 'files':
        return { ok: [new Blob(['{}\n'], { type: 'application/json' })] };
      case 'held':
        return { ok: [heldOpen, ...(this.stage.held ?? [])] };
      case 'leave':
        if (call.erase) setTimeout(() => this.say({ say: 'erased', left: 'untold' }));
        return { ok: 'untold' };
      case 'draft':
        if (call.put === undefined) return { ok: this.drafts.get(call.key) ?? null };
        if (call.put === null) this.drafts.delete(call.key);
        else this.drafts.set(call.key, call.put);
        return { ok: null };
      case 'api':
        return { ok: this.stage.api[`${call.method} ${call.path}`] ?? { status: 0, body: null } };
      case 'pair':
        return { ok: this.stage.api.pair ?? { status: 0, body: null } };
      case 'enter':
        return { ok: this.stage.api[`enter ${call.path}`] ?? { status: 0, body: null } };
      case 'me':
        return { ok: this.stage.api['GET /api/v1/auth/me'] ?? { status: 0, body: null } };
      case 'bringFile': {
        const answer = this.stage.api.bringFile;
        if (answer === undefined) return { ok: { brought: 0, not_brought: 0 } };
        return answer.status === 200 ? { ok: answer.body } : { refusal: answer.body as Refusal };
      }
      case 'take':
      case 'bring':
        return { ok: { brought: this.stage.journal.undecided, not_brought: 0 } };
      case 'claim':
        return { ok: { number: null, answer: null } };
    }
  }
}

(globalThis as unknown as { Worker: unknown }).Worker = FakeWorker;
// No service worker either: each page starts from the built files.
delete (Navigator.prototype as { serviceWorker?: unknown }).serviceWorker;
