/**
 * The worker of a page: opens the journal, runs the core if this tab leads, carries calls between page and core. All of
 * the app's storage and network is here, so a frozen or busy page never holds up a save.
 */
import './wasm_exec.js';
import wasmUrl from './core.wasm?url';
import type { BetweenTabs, Brought, Call, FromWorker, Left, OpenJournal, Reply, ToWorker } from '../shared/messages.ts';
import { appVersion } from '../shared/version.ts';
import { bringAlong, countApart, keepApart, tidyApart } from './apart.ts';
import { Carrier } from './carrier.ts';
import { boot } from './core.ts';
import { DeviceDb, eraseAll, JournalDb } from './db.ts';
import { apiAnswer, claim, type DoorEnv, enter, me, pair } from './door.ts';
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
}

async function open(device: DeviceDb): Promise<Opened> {
  const kept = await device.openJournal(mintJournal);
  if (kept.paired?.out === 'untold') void tellLater().catch(() => undefined);
  const journal: OpenJournal = { id: kept.id, paired: kept.paired, ...(await countApart(device)) };
  const disk = await JournalDb.open(kept.id, () => tell({ say: 'outdated' }));
  tell({ say: 'journal', journal }); // before any news of it
  const tabs: Tabs = new Tabs({
    journal: kept.id,
    tab: crypto.randomUUID?.() ?? String(Math.random()),
    locks: locks ?? null,
    channel: (hear) => channel(`core.${kept.id}`, hear),
    after,
    tell: (news) => tell({ say: 'news', news }),
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
        tell: (news) => tabs.spread(news),
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
              return carrier.take(call.file);
          }
        },
        close: () => carrier.close(),
      };
    },
  });
  return { journal, disk, tabs };
}

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

/** Everything on this device, a file for each journal that holds something; the open one first. */
async function files(): Promise<Reply<Blob[]>> {
  const first = await (await opened).tabs.call({ call: 'export' });
  if (!('ok' in first)) return first;
  const all = [first.ok as Blob];
  for (const { id } of await (await device).apart()) {
    const disk = await JournalDb.open(id, () => undefined);
    try {
      if ((await disk.unsent()) === 0) continue; // never written in: nothing of it was ever sent either
      const file = await exportApart(id, disk);
      if (!('ok' in file)) return file;
      all.push(file.ok);
    } finally {
      disk.close();
    }
  }
  return { ok: all };
}

/** A journal kept apart gets a core of its own for as long as it takes. */
async function exportApart(id: string, disk: JournalDb): Promise<Reply<Blob>> {
  const carrier = new Carrier({
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
    tell: () => undefined,
  });
  const file = await carrier.export();
  carrier.close();
  return file;
}

/** What becomes of what was written here before. */
async function bring(how: 'along' | 'apart'): Promise<Reply<Brought>> {
  const disk = await device;
  const { tabs } = await opened;
  try {
    if (how === 'along') {
      return await bringAlong({
        device: disk,
        locks: locks ?? null,
        file: exportApart,
        take: (file) => tabs.call({ call: 'take', file }) as Promise<Reply<Brought>>,
      });
    }
    await keepApart(disk);
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
      return bring(call.how);
    case 'bringFile':
      return (await opened).tabs.call({ call: 'take', file: call.file });
  }
}

/** What the door needs to know and to do here. */
async function atDoor(): Promise<DoorEnv> {
  await telling?.catch(() => undefined);
  return {
    ask: (asked) => request(http, asked),
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

device.then((disk) => opened.then(() => tidyApart({ device: disk, locks: locks ?? null }))).catch(() => undefined); // the next start tries again

opened.then(
  async ({ disk }) => {
    const view = await disk.view('tonight').catch(() => undefined);
    if (view !== undefined) tell({ say: 'view', question: { q: 'tonight' }, answer: view });
  },
  (error: unknown) => tell({ say: 'no_disk', why: String(error) }),
);
