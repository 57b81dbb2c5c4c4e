/**
 * IndexedDB, and nothing else touches it. Two databases: `device` (which journals this device holds, which is open, whom
 * it is signed in to) and `journal.<id>` (the rows the core works on, forms being filled in, the last Tonight).
 *
 * The promise of `apply`: a change is written whole in one transaction or not at all, and only on the revision it was
 * computed on.
 */
import { type DBSchema, type IDBPDatabase, openDB, unwrap } from 'idb';
import type { Left, Paired } from '../shared/messages.ts';
import type { Change, Key, Outcome, Row } from './core.ts';

interface JournalSchema extends DBSchema {
  copy: { key: [kind: string, id: string]; value: unknown };
  queue: { key: number; value: unknown };
  seen: { key: string; value: unknown };
  seen_next: { key: string; value: unknown };
  meta: { key: string; value: unknown };
  draft: { key: string; value: string };
  view: { key: string; value: unknown };
}

interface DeviceSchema extends DBSchema {
  journals: { key: string; value: KeptJournal };
  /** `claim`: a Claim as JSON, while this device waits to be confirmed. */
  meta: { key: 'open' | 'claim'; value: string };
}

interface KeptJournal {
  id: string;
  paired: Paired | null;
  /** The person chose to keep what is in it apart; until then, once it is open no more, they have not chosen. */
  apart?: true;
  /** Of one that was paired and is not open: the server that was asked last does not know it. */
  forgotten?: true;
  /** A server said that it was deleted for good. */
  erased?: true;
}

/** A journal of this device that is not shown. */
interface ApartJournal {
  id: string;
  /** The person chose to keep it apart. */
  decided: boolean;
}

/** Every journal on this device, also one of which only its database is left. */
export interface KeptHere {
  id: string;
  account: string | null;
  standing: 'open' | 'apart' | 'elsewhere' | 'forgotten' | 'erased' | 'lost';
}

/** A paired journal that is not open and that the server does not know. */
export interface ForgottenJournal extends ApartJournal {
  account: string;
}

/** Rows from before a server said what an account may do and how it comes in. */
const unsaid = { role: 'owner', has_password: false } as const;

/** What this device comes in with once its number is confirmed on another. */
export interface Claim {
  claim: string;
  number: string;
}

/** The order of loading: what is small and needed to read the rest comes first, pours last and newest first. */
const kindsFirst = ['set', 'ingredient', 'bottle', 'level', 'drink', 'spec', 'line'];
const rowsACall = 300;
const transactionLimitMs = 5_000;

export class JournalDb {
  readonly #db: IDBPDatabase<JournalSchema>;
  readonly #limitMs: number;

  private constructor(db: IDBPDatabase<JournalSchema>, limitMs: number) {
    this.#db = db;
    this.#limitMs = limitMs;
  }

  /** `onOutdated`: a newer version of the app wants to upgrade, so this one closes. */
  static async open(journal: string, onOutdated: () => void, limitMs = transactionLimitMs): Promise<JournalDb> {
    const db = await openDB<JournalSchema>(`journal.${journal}`, 1, {
      upgrade(db, from) {
        if (from < 1) {
          db.createObjectStore('copy');
          db.createObjectStore('queue', { autoIncrement: true });
          db.createObjectStore('seen');
          db.createObjectStore('seen_next');
          db.createObjectStore('meta');
          db.createObjectStore('draft');
          db.createObjectStore('view');
        }
      },
      blocking(_current, wanted, event) {
        (event.target as IDBDatabase).close();
        if (wanted !== null) onOutdated(); // null: it is to be deleted, by this version of the app
      },
    });
    return new JournalDb(db, limitMs);
  }

  close(): void {
    this.#db.close();
  }

  /** Every row the core needs, from one moment, in loading order; the core is told while the next rows are read. */
  async load(feed: (store: string, rows: Row[], newest: boolean) => void): Promise<void> {
    const tx = this.#db.transaction(['copy', 'queue', 'seen', 'seen_next', 'meta'], 'readonly');
    for (const name of ['meta', 'queue', 'seen', 'seen_next'] as const) {
      const store = tx.objectStore(name);
      const keys = await store.getAllKeys();
      for (const part of parts(keys)) {
        const values = await store.getAll(IDBKeyRange.bound(part[0], part.at(-1)));
        feed(
          name,
          part.map((key, i): Row => [key, values[i]]),
          false,
        );
      }
    }
    const copy = tx.objectStore('copy');
    const keys = await copy.getAllKeys();
    const kinds = [...new Set(keys.map(([kind]) => kind))].sort((a, b) => rank(a) - rank(b));
    for (const kind of kinds) {
      const own = keys.filter(([k]) => k === kind);
      const pours = kind === 'pour';
      for (const [i, part] of parts(pours ? own.reverse() : own).entries()) {
        const [from, to] = pours ? [part.at(-1), part[0]] : [part[0], part.at(-1)];
        const values = await copy.getAll(IDBKeyRange.bound(from, to));
        if (pours) values.reverse();
        feed(
          'copy',
          part.map((key, j): Row => [key, values[j]]),
          pours && i === 0,
        );
      }
    }
    await tx.done;
  }

  /** Writes one change in one transaction. Never throws: what is not `done` is not on disk, or not surely. */
  apply(change: Change): Promise<Outcome> {
    return new Promise((resolve) => {
      let raced = false;
      let timer: ReturnType<typeof setTimeout> | undefined;
      const end = (outcome: Outcome) => {
        clearTimeout(timer);
        resolve(outcome);
      };
      try {
        const names = new Set<string>([
          'meta',
          ...change.put.map(([store]) => store),
          ...change.del.map(([store]) => store),
        ]);
        // The plain API here: each event of the transaction matters, and a promise in between would hide one.
        const tx = unwrap(this.#db).transaction([...names], 'readwrite', {
          durability: change.strict ? 'strict' : 'relaxed',
        });
        tx.oncomplete = () => end('done');
        tx.onabort = () => end(raced ? 'raced' : 'failed');
        timer = setTimeout(() => {
          abort(tx);
          end('failed');
        }, this.#limitMs);
        const meta = tx.objectStore('meta');
        const asked = meta.get('rev');
        asked.onsuccess = () => {
          try {
            if (Number(asked.result ?? 0) !== change.rev) {
              raced = true;
              tx.abort();
              return;
            }
            for (const [store, key] of change.del) tx.objectStore(store).delete(validKey(key));
            for (const [store, key, value] of change.put) {
              if (key === null) tx.objectStore(store).put(value);
              else tx.objectStore(store).put(value, validKey(key));
            }
            meta.put(String(change.rev + 1), 'rev'); // a text, as every value of the core's rows
          } catch {
            abort(tx);
          }
        };
      } catch {
        end('failed'); // the transaction could not even be opened
      }
    });
  }

  /** How many actions are not yet with the server. */
  unsent(): Promise<number> {
    return this.#db.count('queue');
  }

  /** Rows of things and of actions; none when nothing was ever written in it or fetched. */
  async rows(): Promise<number> {
    return (await this.#db.count('copy')) + (await this.#db.count('queue'));
  }

  /** A form being filled in; null when there is none. */
  async draft(key: string): Promise<string | null> {
    return (await this.#db.get('draft', key)) ?? null;
  }

  async putDraft(key: string, value: string | null): Promise<void> {
    if (value === null) await this.#db.delete('draft', key);
    else await this.#db.put('draft', value, key);
  }

  /** What a question was answered last, to draw from until the core is up. A picture, never a source. */
  async view(key: string): Promise<unknown> {
    return this.#db.get('view', key);
  }

  async putView(key: string, answer: unknown): Promise<void> {
    await this.#db.put('view', answer, key);
  }
}

/** The database of the device itself. */
export class DeviceDb {
  readonly #db: IDBPDatabase<DeviceSchema>;

  private constructor(db: IDBPDatabase<DeviceSchema>) {
    this.#db = db;
  }

  static async open(): Promise<DeviceDb> {
    const db = await openDB<DeviceSchema>('device', 1, {
      upgrade(db, from) {
        if (from < 1) {
          db.createObjectStore('journals', { keyPath: 'id' });
          db.createObjectStore('meta');
        }
      },
      blocking(_current, _blocked, event) {
        (event.target as IDBDatabase).close();
      },
    });
    return new DeviceDb(db);
  }

  close(): void {
    this.#db.close();
  }

  /** The journal that is open; at the first start ever, a new one of this device's own. */
  async openJournal(mint: () => string): Promise<KeptJournal> {
    const tx = this.#db.transaction(['journals', 'meta'], 'readwrite');
    const open = await tx.objectStore('meta').get('open');
    const kept = open === undefined ? undefined : await tx.objectStore('journals').get(open);
    if (kept) {
      await tx.done;
      return { ...kept, paired: kept.paired && { ...unsaid, ...kept.paired } };
    }
    const fresh: KeptJournal = { id: mint(), paired: null };
    await tx.objectStore('journals').put(fresh);
    await tx.objectStore('meta').put(fresh.id, 'open');
    await tx.done;
    return fresh;
  }

  /** This device was admitted to a journal: that one is open from now on. The others stay where they are. */
  async admitted(journal: string, paired: Paired): Promise<void> {
    const tx = this.#db.transaction(['journals', 'meta'], 'readwrite');
    await tx.objectStore('journals').put({ id: journal, paired });
    await tx.objectStore('meta').put(journal, 'open');
    await tx.objectStore('meta').delete('claim');
    await tx.done;
  }

  /** More is known of who is signed in on a journal. It says nothing of a sign-out. */
  async known(journal: string, paired: Paired): Promise<void> {
    const tx = this.#db.transaction('journals', 'readwrite');
    const kept = await tx.store.get(journal);
    if (kept?.paired) await tx.store.put({ ...kept, paired: { ...kept.paired, ...paired } });
    await tx.done;
  }

  /** Kept over a reload, until it is used, refused or given up. */
  async putClaim(claim: Claim | null): Promise<void> {
    if (claim === null) await this.#db.delete('meta', 'claim');
    else await this.#db.put('meta', JSON.stringify(claim), 'claim');
  }

  async claim(): Promise<Claim | null> {
    const kept = await this.#db.get('meta', 'claim');
    return kept === undefined ? null : (JSON.parse(kept) as Claim);
  }

  /** The open journal is signed out of its account. */
  async left(out: Left): Promise<void> {
    const tx = this.#db.transaction(['journals', 'meta'], 'readwrite');
    const open = await tx.objectStore('meta').get('open');
    const kept = open === undefined ? undefined : await tx.objectStore('journals').get(open);
    if (kept?.paired) await tx.objectStore('journals').put({ ...kept, paired: { ...kept.paired, out } });
    await tx.done;
  }

  /** Every journal of this device. */
  async all(): Promise<string[]> {
    return this.#db.getAllKeys('journals');
  }

  /** Every journal on this device, the open one first, and databases of journals that are in no list. */
  async everything(): Promise<KeptHere[]> {
    const { open, others } = await this.#others();
    const listed = [...open, ...others].map((j): KeptHere => ({
      id: j.id,
      account: j.paired?.account ?? null,
      standing: open.includes(j) ? 'open' : standingOf(j),
    }));
    const known = new Set(listed.map(({ id }) => id));
    const left = (await journalsOnDisk()).filter((id) => !known.has(id));
    return [...listed, ...left.map((id) => ({ id, account: null, standing: 'lost' }) as const)];
  }

  /** Journals of accounts that were signed in here before the one that is now, and that its server knows. */
  async elsewhere(): Promise<string[]> {
    return (await this.#others()).others.filter((j) => standingOf(j) === 'elsewhere').map((j) => j.id);
  }

  /** Paired journals that are not open: the server may have forgotten them. */
  async pairedBefore(): Promise<string[]> {
    return (await this.#others()).others.filter((j) => j.paired !== null).map((j) => j.id);
  }

  /** Those of them that the server forgot, and that nobody deleted. */
  async forgotten(): Promise<ForgottenJournal[]> {
    return (await this.#others()).others.flatMap((j) =>
      j.paired && standingOf(j) === 'forgotten'
        ? [{ id: j.id, account: j.paired.account, decided: j.apart === true }]
        : [],
    );
  }

  /** What the server says of the journals it was asked about. Once erased is for ever. */
  async standings(asked: readonly string[], unknown: readonly string[], erased: readonly string[]): Promise<void> {
    const tx = this.#db.transaction(['journals', 'meta'], 'readwrite');
    const open = await tx.objectStore('meta').get('open');
    for (const id of asked) {
      const kept = await tx.objectStore('journals').get(id);
      if (!kept?.paired || id === open) continue;
      const { forgotten: _, ...rest } = kept;
      await tx.objectStore('journals').put({
        ...rest,
        ...(unknown.includes(id) ? { forgotten: true } : {}),
        ...(erased.includes(id) ? { erased: true } : {}),
      });
    }
    await tx.done;
  }

  /** The server says that a journal was deleted for good. */
  async wasErased(journal: string): Promise<void> {
    const tx = this.#db.transaction('journals', 'readwrite');
    const kept = await tx.store.get(journal);
    if (kept && !kept.erased) await tx.store.put({ ...kept, erased: true });
    await tx.done;
  }

  /** Journals of this device that were never paired and are not the open one. */
  async apart(): Promise<ApartJournal[]> {
    const { others } = await this.#others();
    return others.filter((j) => j.paired === null).map((j) => ({ id: j.id, decided: j.apart === true }));
  }

  async #others(): Promise<{ open: KeptJournal[]; others: KeptJournal[] }> {
    const tx = this.#db.transaction(['journals', 'meta'], 'readonly');
    const open = await tx.objectStore('meta').get('open');
    const all = await tx.objectStore('journals').getAll();
    return { open: all.filter((j) => j.id === open), others: all.filter((j) => j.id !== open) };
  }

  /** The person keeps a journal apart. */
  async keepApart(journal: string): Promise<void> {
    const tx = this.#db.transaction('journals', 'readwrite');
    const kept = await tx.store.get(journal);
    if (kept) await tx.store.put({ ...kept, apart: true });
    await tx.done;
  }

  /** Forgets a journal that is not open and of no account that lives, and deletes its database first. */
  async drop(journal: string, limitMs = eraseLimitMs): Promise<void> {
    if (![...(await this.apart()), ...(await this.forgotten())].some(({ id }) => id === journal)) return;
    await erase(`journal.${journal}`, limitMs);
    await this.#db.delete('journals', journal);
  }
}

const eraseLimitMs = 5_000;

/**
 * Deletes every database of the app on this device. Whoever has one open must close it, and does when asked; one that is
 * frozen holds it up, and then it is gone as soon as that one ends.
 */
export async function eraseAll(journals: readonly string[], limitMs = eraseLimitMs): Promise<void> {
  const names = new Set([...journals, ...(await journalsOnDisk())].map((id) => `journal.${id}`));
  names.add('device'); // last: until then it says which journals there are
  for (const name of names) await erase(name, limitMs);
}

function standingOf(j: KeptJournal): KeptHere['standing'] {
  if (j.paired === null) return 'apart';
  if (j.erased) return 'erased';
  return j.forgotten ? 'forgotten' : 'elsewhere';
}

/** The journals of which there is a database, as far as the browser tells. */
async function journalsOnDisk(): Promise<string[]> {
  const all = (await indexedDB.databases?.()) ?? [];
  return all.flatMap(({ name }) => (name?.startsWith('journal.') ? [name.slice('journal.'.length)] : []));
}

function erase(name: string, limitMs: number): Promise<void> {
  return new Promise((resolve, reject) => {
    const late = setTimeout(() => reject(new Error(`${name} is held open by another window`)), limitMs);
    const request = indexedDB.deleteDatabase(name);
    request.onsuccess = () => {
      clearTimeout(late);
      resolve();
    };
    request.onerror = () => {
      clearTimeout(late);
      reject(request.error ?? new Error(`${name} could not be deleted`));
    };
  });
}

function rank(kind: string): number {
  if (kind === 'pour') return kindsFirst.length + 1;
  const at = kindsFirst.indexOf(kind);
  return at < 0 ? kindsFirst.length : at;
}

function parts<T>(all: readonly T[]): T[][] {
  const out: T[][] = [];
  for (let i = 0; i < all.length; i += rowsACall) out.push(all.slice(i, i + rowsACall));
  return out;
}

function abort(tx: IDBTransaction): void {
  try {
    tx.abort();
  } catch {
    // it had ended already; its own event says how
  }
}

function validKey(key: Key): IDBValidKey {
  return typeof key === 'object' ? [...key] : key;
}
