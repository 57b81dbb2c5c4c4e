/** What a page and its worker say to each other, and what the workers of two tabs say: one tagged union each way. */
import type { Id, Intent, KeeperAnswer, Question, Refusal, SyncState } from './core.ts';

/** What a page wants of its worker. Every call is answered by exactly one `reply` with its number. */
export type Call = CoreCall | PageCall;

/** Answered by the tab that runs the core, whichever tab asks. */
export type CoreCall =
  | { call: 'ask'; question: Question }
  | { call: 'act'; intent: Intent }
  /** Sync now; the person pressed "try again", or the page came back into view. */
  | { call: 'hint'; hint: Hint }
  /** A Blob of everything in the journal. */
  | { call: 'export' }
  /**
   * Makes what is in an exported file again, as entries of this journal; `whole` joins it with this journal as it is, for a
   * journal that its server forgot. Answered by `Brought`.
   */
  | { call: 'take'; file: FileText; whole?: true };

export type Hint = 'visible' | 'online' | 'offline' | 'retry';

/** Answered by the page's own worker. */
type PageCall =
  | { call: 'draft'; key: string; put?: string | null }
  | { call: 'pair'; code: string; name: string }
  /** Asks whether the device that waits to be confirmed may come in; `drop` waits no longer. */
  | { call: 'claim'; drop?: true }
  /** A file of each journal on this device, the open one first. */
  | { call: 'files' }
  /** What each journal on this device holds, the open one first; answered by `Held[]`. */
  | { call: 'held' }
  /** Out of the account, and with `erase` everything on this device as well; answered by `Left`. */
  | { call: 'leave'; erase: boolean }
  /**
   * Set up the server, come in by name and password, or with an invitation; answered by `ApiAnswer`. The body is the
   * route's own; which journal this device has already is added here. On 200 the account's journal is open.
   */
  | { call: 'enter'; path: Door; body: Record<string, string> }
  /**
   * What becomes of entries written here before: brought into the open journal, or kept apart; answered by `Brought`.
   * `journal` names a forgotten one, about which the person decides for itself.
   */
  | { call: 'bring'; how: 'along' | 'apart'; journal?: Id }
  /** Brings the entries of an exported file into the open journal; answered by `Brought`. */
  | { call: 'bringFile'; file: FileText }
  /** Asks the server who this device is signed in as, and keeps it; answered by `ApiAnswer`. */
  | { call: 'me' }
  /** A request to the server beside syncing: codes, devices, sign-in. */
  | { call: 'api'; method: 'GET' | 'POST' | 'DELETE'; path: string; body?: unknown };

/** A Blob, as far as it is needed here, where there is no browser. */
export interface FileText {
  readonly size: number;
  text(): Promise<string>;
}

export type Door = 'setup' | 'sign-in' | 'join';

/** What became of entries that were brought along. */
export interface Brought {
  /** Things made here: drinks, specs, bottles, pours, days …; none when all of them were here already. */
  brought: number;
  /** Things that could not be brought; where they came from is kept. */
  not_brought: number;
}

export type Reply<T = unknown> = { ok: T } | { refusal: Refusal } | { fault: string };

export interface ToWorker {
  no: number;
  call: Call;
}

export type FromWorker =
  | { say: 'reply'; no: number; reply: Reply }
  /** Which journal this device has open, and who it is signed in as; again after pairing. */
  | { say: 'journal'; journal: OpenJournal }
  /** More is known of the open journal; it stays open. */
  | { say: 'known'; journal: OpenJournal }
  /** What Tonight said last time, to draw from before the core is up. */
  | { say: 'view'; question: Question; answer: unknown }
  | { say: 'news'; news: News }
  /** A newer version of the app in another tab wants the database: reload. */
  | { say: 'outdated' }
  /** Everything on this device was erased, here or in another tab. */
  | { say: 'erased'; left: Left }
  /** The browser gives no storage: nothing can be saved here. */
  | { say: 'no_disk'; why: string };

/** What the tab that runs the core tells all tabs. */
export type News =
  | { news: 'sync'; state: SyncState }
  /** These things changed (none named: anything may have): ask again what is on screen. */
  | { news: 'changed'; ids: readonly Id[] }
  /** The core is up and has read the journal. */
  | { news: 'ready' }
  /** So far entries are brought along, of so many; `done` is `total` when it is over. */
  | { news: 'bringing'; done: number; total: number };

export interface OpenJournal {
  id: string;
  /** null while this device has never been admitted by a server. */
  paired: Paired | null;
  /** Entries written here before pairing, in journals of their own; kept, not shown. All of them. */
  apart: number;
  /** Those of them about which the person has not chosen yet: bring along, or keep apart. */
  undecided: number;
  /** Not yet sent, in journals of other accounts that were signed in here: sent when they sign in again, to them alone. */
  elsewhere?: number;
  /** Journals of accounts that were signed in here, which the server of the open one does not know: offered, never taken. */
  forgotten?: Forgotten[];
}

export interface Forgotten {
  id: Id;
  account: string;
  /** The person chose to keep it apart. */
  decided: boolean;
}

/** What a journal on this device holds. */
export interface Held {
  id: Id;
  /** Whose it is; null when it was never paired, or is not known any more. */
  account: string | null;
  /**
   * open: the one that is shown; apart: written before signing in; elsewhere: of another account of the server; forgotten:
   * of an account the server does not know; erased: deleted for good from another device; lost: only its database is left.
   */
  standing: 'open' | 'apart' | 'elsewhere' | 'forgotten' | 'erased' | 'lost';
  /** null when the core could not read it. */
  counts: KeeperAnswer['counts'] | null;
  /** Rows of any kind: 0 when there is nothing in it. */
  rows: number;
  unsent: number;
  unreadable: number;
}

/** Where the wait for a confirmation stands after asking. */
export interface Claimed {
  /** The number to confirm; null when nothing waits any more. */
  number: string | null;
  /** What the server said; null when there was nothing to ask. */
  answer: ApiAnswer | null;
}

export interface Paired {
  account: string;
  device: Id;
  name: string;
  role: Role;
  has_password: boolean;
  /** The person signed out on this device; kept so that what is here goes to no other account. */
  out?: Left;
}

type Role = 'owner' | 'member';

/** What the server knows of a sign-out: it ended the sign-in, there was none to end, or it did not answer yet. */
export type Left = 'told' | 'none' | 'untold';

/** An answer of the server to an `api`, `pair`, `enter` or `me` call; status 0 when none came. */
export interface ApiAnswer {
  status: number;
  body: unknown;
}

/** Between the workers of tabs of one journal, over a BroadcastChannel. */
export type BetweenTabs =
  | { from: string; no: number; call: CoreCall }
  /** The call has arrived and is being worked on: no need to take the core over. */
  | { to: string; no: number; heard: true }
  | { to: string; no: number; reply: Reply }
  | { news: News }
  /** A tab has taken the core: whoever waits calls again. */
  | { lead: string }
  /** A tab has come: what is the news? */
  | { hello: string };
