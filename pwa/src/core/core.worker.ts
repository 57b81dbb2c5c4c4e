/**
 * The worker of a page: opens the journal, runs the core if this tab leads, carries calls between page and core. All of
 * the app's storage and network is here, so a frozen or busy page never holds up a save.
 */
import './wasm_exec.js';
import wasmUrl from './core.wasm?url';
import type { BetweenTabs, Brought, Call, FromWorker, Left, OpenJournal, Reply, ToWorker } from '../shared/messages.ts';
import { appVersion } from '../shared/version.ts';
import { type ApartEnv, bringAlong, bringForgotten, countApart, keepApart, tidyApart } from './apart.ts';
import { Carrier, type CarrierEnv } from './carrier.ts';
import { boot } from './core.ts';
import { DeviceDb, eraseAll, JournalDb, type KeptHere } from './db.ts';
import { apiAnswer, askForgotten, claim, type DoorEnv, enter, me, pair } from './door.ts';
import { codeOf, type HttpEnv, request } from './http.ts';
import { Tabs } from './tabs.ts';

const scope = self as unknown as DedicatedWorkerGlobalScope;

const tell = (message: FromWorker): void => scope.postMessage(message);

const after = (ms: number, run: () => void): (() => void) => {
  const timer = setTimeout(run, ms);
  return () => clearTimeout(timer);
};

const locks: LockManager | undefined = navigator.locks;

const http: HttpEnv = {
  fetch: (input, init) => fetch(input, init),
  signin: (work) => (locks ? locks.request('signin', work) : work()),
  pause: (ms) => new Promise((resolve) => setTimeout(resolve, ms)),
};

async function instantiate(imports: WebAssembly.Imports): Promise<WebAssembly.WebAssemblyInstantiatedSource> {
  try {
    return await WebAssembly.instantiateStreaming(fetch(wasmUrl), imports);
  } catch {
    const response = await fetch(wasmUrl); // a server or cache that does not say application/wasm
    return WebAssembly.instantiate(await response.arrayBuffer(), imports);
  }
}

/** The journal that is open in this tab, with its disk and its place among the tabs. */
interface Opened {
  journal: OpenJournal;
  disk: JournalDb;
  tabs: Tabs;
  /** Rows the core could not read, as the tab that runs it said last. */
  unreadable: () => number;
}

async function open(device: DeviceDb): Promise<Opened> {
  const kept = await device.openJournal(mintJournal);
  if (kept.paired?.out === 'untold') void tellLater().catch(() => undefined);
  const journal: OpenJournal = { id: kept.id, paired: kept.paired, ...(await countApart(device)) };
  const disk = await JournalDb.open(kept.id, () => tell({ say: 'outdated' }));
  tell({ say: 'journal', journal }); // before any news of it
  let unreadable = 0;
  const tabs: Tabs = new Tabs({
    journal: kept.id,
    tab: crypto.randomUUID?.() ?? String(Math.random()),
    locks: locks ?? null,
    channel: (hear) => channel(`core.${kept.id}`, hear),
    after,
    tell: (news) => {
      if (news.news === 'sync') unreadable = news.state.unreadable;
      tell({ say: 'news', news });
    },
    lead: () => {
      const carrier = new Carrier({
        config: { journal: kept.id, app: appVersion },
        paired: kept.paired !== null,
        signedOut: kept.paired?.out !== undefined,
        boot: () => boot(instantiate),
        disk,
        now: Date.now,
        offsetMin: () => -new Date().getTimezoneOffset(),
        onLine: () => navigator.onLine,
        send: (body) => request(http, { method: 'POST', path: `/api/v1/journals/${kept.id}/sync`, body }),
        pokes,
        after,
        tell: (news) => {
          if (saysErased(news)) void device.wasErased(kept.id).catch(() => undefined);
          tabs.spread(news);
        },
      });
      void carrier.start();
      return {
        run: async (call): Promise<Reply> => {
          switch (call.call) {
            case 'ask':
              return carrier.ask(call.question);
            case 'act':
              return carrier.act(call.intent);
            case 'hint':
              carrier.hint(call.hint);
              return { ok: null };
            case 'export':
              return carrier.export();
            case 'take':
              return carrier.take(call.file, call.whole);
          }
        },
        close: () => carrier.close(),
      };
    },
  });
  return { journal, disk, tabs, unreadable: () => unreadable };
}

type News = Parameters<CarrierEnv['tell']>[0];

const saysErased = (news: News): boolean =>
  news.news === 'sync' && news.state.state === 'stopped' && news.state.code === 'erased';

function channel(name: string, hear: (message: BetweenTabs) => void) {
  const own = new BroadcastChannel(name);
  own.onmessage = (event: MessageEvent<BetweenTabs>) => hear(event.data);
  return { post: (message: BetweenTabs) => own.postMessage(message), close: () => own.close() };
}

/** The server's hints that there is something to fetch. They carry no data; missing one costs five minutes at most. */
function pokes(poke: () => void, lost: () => void): () => void {
  const stream = new EventSource('/api/v1/events');
  stream.addEventListener('poke', poke);
  stream.addEventListener('error', () => {
    if (stream.readyState === EventSource.CLOSED) lost();
  });
  return () => stream.close();
}

/** 128 random bits as 32 lower-case hex digits. */
function mintJournal(): string {
  return Array.from(crypto.getRandomValues(new Uint8Array(16)), (byte) => byte.toString(16).padStart(2, '0')).join('');
}

// ---- calls of the page

const device = DeviceDb.open();
let opened = device.then(open);
const switches = new BroadcastChannel('device');
/** What other tabs are told: another journal is open now, more is known of the one that is, or nothing is left. */
type Switch = 'journal' | 'known' | { erased: Left };

async function reopen(): Promise<void> {
  const before = await opened.catch(() => null);
  before?.tabs.close();
  before?.disk.close();
  opened = device.then(open);
  await opened;
  tell({ say: 'news', news: { news: 'changed', ids: [] } });
}

switches.onmessage = ({ data }: MessageEvent<Switch>) => {
  if (typeof data === 'object') void close().then(() => tell({ say: 'erased', left: data.erased }));
  else if (data === 'known') void known().catch(() => undefined);
  else void reopen();
};

/** Tells the page what the device's own database says by now of the open journal and of those kept apart. */
async function known(): Promise<void> {
  const { journal } = await opened;
  const disk = await device;
  const kept = await disk.openJournal(mintJournal);
  if (kept.id !== journal.id) return; // it is about to be opened
  Object.assign(journal, { paired: kept.paired, ...(await countApart(disk)) });
  tell({ say: 'known', journal });
}

async function tellKnown(): Promise<void> {
  await known();
  switches.postMessage('known' satisfies Switch);
}

/** Lets go of all databases, for good: they are about to be deleted. */
async function close(): Promise<void> {
  const before = await opened.catch(() => null);
  before?.tabs.close();
  before?.disk.close();
  (await device.catch(() => null))?.close();
  opened = Promise.reject(new Error('everything on this device was erased'));
  opened.catch(() => undefined); // whoever calls hears of it
}

// ---- signing out

/** Ends the sign-in at the server. A server that no longer knows this device has nothing to end. */
async function signOut(): Promise<Left> {
  const heard = await request(http, { method: 'POST', path: '/api/v1/auth/sign-out', body: '{}' });
  if (heard?.status === 200) return 'told';
  if (heard === null || codeOf(heard.body) === 'expired') return 'untold'; // it may still be renewed
  return [401, 403, 410].includes(heard.status) ? 'none' : 'untold';
}

let telling: Promise<void> | null = null;

/** The server did not answer when the person signed out: it is told as soon as it does. Pairing again waits for that. */
function tellLater(): Promise<void> {
  telling ??= (async () => {
    if ((await opened).journal.paired?.out !== 'untold') return;
    const left = await signOut();
    if (left === 'untold') return;
    await (await device).left(left);
    await reopen();
    switches.postMessage('journal' satisfies Switch);
  })().finally(() => {
    telling = null;
  });
  return telling;
}

async function leave(erase: boolean): Promise<Left> {
  const { journal } = await opened;
  const out = journal.paired?.out;
  const left = journal.paired === null ? 'none' : out === undefined || out === 'untold' ? await signOut() : out;
  if (!erase) {
    await (await device).left(left);
    await reopen();
    switches.postMessage('journal' satisfies Switch);
    return left;
  }
  const journals = await (await device).all();
  switches.postMessage({ erased: left } satisfies Switch);
  await close();
  await eraseAll(journals);
  tell({ say: 'erased', left });
  return left;
}

/** Everything on this device, a file for each journal that holds something, whoever's it is; the open one first. */
async function files(): Promise<Reply<Blob[]>> {
  const first = await (await opened).tabs.call({ call: 'export' });
  if (!('ok' in first)) return first;
  const all = [first.ok as Blob];
  for (const { id, standing } of await (await device).everything()) {
    if (standing === 'open') continue;
    const file = await reading(id, async (disk) => ((await disk.rows()) === 0 ? null : exportApart(id, disk)));
    if (file === null) continue; // never written in: nothing of it was ever sent either
    if (!('ok' in file)) return file;
    all.push(file.ok);
  }
  return { ok: all };
}

async function reading<T>(id: string, work: (disk: JournalDb) => Promise<T>): Promise<T> {
  const disk = await JournalDb.open(id, () => undefined);
  try {
    return await work(disk);
  } finally {
    disk.close();
  }
}

/** A journal with what it holds, as the page is told of it. */
interface Holding extends KeptHere {
  /** As Keeper counts; null when the core could not read it. */
  counts: unknown;
  rows: number;
  unsent: number;
  unreadable: number;
}

/** What each journal on this device holds; the open one first, those in which nothing was ever written left out. */
async function held(): Promise<Holding[]> {
  const all: Holding[] = [];
  for (const journal of await (await device).everything()) {
    const one = journal.standing === 'open' ? await heldOpen(journal) : await heldApart(journal);
    if (one.rows > 0 || journal.standing === 'open') all.push(one);
  }
  return all;
}

async function heldOpen(journal: KeptHere): Promise<Holding> {
  const { disk, tabs, unreadable } = await opened;
  const answer = await tabs.call({ call: 'ask', question: { q: 'keeper' } });
  return { ...journal, ...(await countsOf(disk)), counts: countsIn(answer), unreadable: unreadable() };
}

/** Journals that are not open hardly ever change: what was counted holds while they have as many rows. */
const counted = new Map<string, Pick<Holding, 'rows' | 'unsent' | 'counts' | 'unreadable'>>();

async function heldApart(journal: KeptHere): Promise<Holding> {
  return reading(journal.id, async (disk) => {
    const rows = await countsOf(disk);
    const before = counted.get(journal.id);
    if (before && before.rows === rows.rows && before.unsent === rows.unsent) return { ...journal, ...before };
    if (rows.rows === 0) return { ...journal, ...rows, counts: null, unreadable: 0 };
    let unreadable = 0;
    const carrier = carrierApart(journal.id, disk, (news) => {
      if (news.news === 'sync') unreadable = news.state.unreadable;
    });
    const answer = await carrier.ask({ q: 'keeper' });
    carrier.close();
    const found = { ...rows, counts: countsIn(answer), unreadable };
    counted.set(journal.id, found);
    return { ...journal, ...found };
  });
}

async function countsOf(disk: JournalDb): Promise<{ rows: number; unsent: number }> {
  return { rows: await disk.rows(), unsent: await disk.unsent() };
}

const countsIn = (answer: Reply): unknown => ('ok' in answer ? (answer.ok as { counts: unknown }).counts : null);

/** A journal that is not open gets a core of its own for as long as it takes. */
function carrierApart(id: string, disk: JournalDb, tell: (news: News) => void): Carrier {
  return new Carrier({
    config: { journal: id, app: appVersion },
    paired: false,
    boot: () => boot(instantiate),
    disk,
    now: Date.now,
    offsetMin: () => -new Date().getTimezoneOffset(),
    onLine: () => navigator.onLine,
    send: async () => null,
    pokes: () => () => undefined,
    after,
    tell,
  });
}

async function exportApart(id: string, disk: JournalDb): Promise<Reply<Blob>> {
  const carrier = carrierApart(id, disk, () => undefined);
  const file = await carrier.export();
  carrier.close();
  return file;
}

/** What becomes of what was written here before, or of a journal that the server forgot. */
async function bring(how: 'along' | 'apart', journal?: string): Promise<Reply<Brought>> {
  const disk = await device;
  const { tabs } = await opened;
  try {
    if (how === 'along') {
      const env: ApartEnv = {
        device: disk,
        locks: locks ?? null,
        file: exportApart,
        take: (file, whole) =>
          tabs.call({ call: 'take', file, ...(whole ? { whole } : {}) }) as Promise<Reply<Brought>>,
      };
      if (journal === undefined) return await bringAlong(env);
      await askForgotten({ ask, device: disk }); // its account may have come back meanwhile
      return await bringForgotten(env, journal);
    }
    await keepApart(disk, journal);
    return { ok: { brought: 0, not_brought: 0 } };
  } finally {
    await tellKnown();
  }
}

async function run(call: Call): Promise<Reply> {
  switch (call.call) {
    case 'ask':
    case 'act':
    case 'export':
    case 'take':
      return (await opened).tabs.call(call);
    case 'hint': {
      const { journal, tabs } = await opened;
      if (journal.paired?.out === 'untold' && call.hint !== 'offline') void tellLater().catch(() => undefined);
      return tabs.call(call);
    }
    case 'files':
      return files();
    case 'held':
      return { ok: await held() };
    case 'leave':
      return { ok: await leave(call.erase) };
    case 'draft': {
      const { disk } = await opened;
      if (call.put === undefined) return { ok: await disk.draft(call.key) };
      await disk.putDraft(call.key, call.put);
      return { ok: null };
    }
    case 'api':
      return {
        ok: apiAnswer(
          await request(http, {
            method: call.method,
            path: call.path,
            ...(call.body === undefined ? {} : { body: JSON.stringify(call.body) }),
          }),
        ),
      };
    case 'enter':
      return { ok: await enter(await atDoor(), call.path, call.body) };
    case 'pair':
      return { ok: await pair(await atDoor(), call.code, call.name) };
    case 'claim': {
      if (call.drop) await (await device).putClaim(null);
      const ask = async () => claim(await atDoor());
      // One tab at a time: the second finds the claim used, and the journal open.
      return { ok: await (locks ? locks.request('claim', ask) : ask()) };
    }
    case 'me':
      return { ok: await me(await atDoor()) };
    case 'bring':
      return bring(call.how, call.journal);
    case 'bringFile':
      return (await opened).tabs.call({ call: 'take', file: call.file });
  }
}

const ask: DoorEnv['ask'] = (asked) => request(http, asked);

/** What the door needs to know and to do here. */
async function atDoor(): Promise<DoorEnv> {
  await telling?.catch(() => undefined);
  return {
    ask,
    device: await device,
    journal: (await opened).journal,
    letIn: async () => {
      await reopen();
      switches.postMessage('journal' satisfies Switch);
    },
    known: tellKnown,
  };
}

scope.onmessage = (event: MessageEvent<ToWorker>) => {
  const { no, call } = event.data;
  run(call).then(
    (reply) => tell({ say: 'reply', no, reply }),
    (error: unknown) =>
      tell({ say: 'reply', no, reply: { fault: error instanceof Error ? error.message : String(error) } }),
  );
};

/** A journal that lies here may have been forgotten by the server since, or come back. */
async function lookForForgotten(): Promise<void> {
  const { paired } = (await opened).journal;
  const disk = await device;
  if (paired === null || paired.out !== undefined || (await disk.pairedBefore()).length === 0) return;
  await askForgotten({ ask, device: disk });
  await tellKnown();
}
lookForForgotten().catch(() => undefined); // the next start asks again

device.then((disk) => opened.then(() => tidyApart({ device: disk, locks: locks ?? null }))).catch(() => undefined); // the next start tries again

opened.then(
  async ({ disk }) => {
    const view = await disk.view('tonight').catch(() => undefined);
    if (view !== undefined) tell({ say: 'view', question: { q: 'tonight' }, answer: view });
  },
  (error: unknown) => tell({ say: 'no_disk', why: String(error) }),
);
