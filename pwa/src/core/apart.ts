/**
 * Journals that are on this device and not shown: begun on it before it was let in to another, or of an account that the
 * server has forgotten. Kept until the person brings their entries along or decides to keep them apart. Whatever breaks off
 * on the way, a journal is here until all of it is in the open one, on disk.
 */
import type { Brought, FileText, OpenJournal, Reply } from '../shared/messages.ts';
import { type DeviceDb, type ForgottenJournal, JournalDb } from './db.ts';
import type { Locks } from './tabs.ts';

export interface ApartEnv {
  device: DeviceDb;
  locks: Locks;
  /** Everything of such a journal in one file. */
  file: (id: string, disk: JournalDb) => Promise<Reply<FileText>>;
  /** Makes what is in a file again in the open journal; `whole` joins it as it is. */
  take: (file: FileText, whole: boolean) => Promise<Reply<Brought>>;
}

const waitMs = 10_000;

/**
 * How many entries are in journals of this device that are not open, of how many the person has not decided, and which
 * journals the server forgot.
 */
export async function countApart(device: DeviceDb): Promise<Required<Omit<OpenJournal, 'id' | 'paired'>>> {
  const all = { apart: 0, undecided: 0, elsewhere: 0, forgotten: [] as ForgottenJournal[] };
  const unsent = (id: string) => within(id, (disk) => disk.unsent()).catch(() => 0); // being deleted by another tab
  for (const { id, decided } of await device.apart()) {
    const n = await unsent(id);
    all.apart += n;
    if (!decided) all.undecided += n;
  }
  for (const id of await device.elsewhere()) all.elsewhere += await unsent(id);
  for (const journal of await device.forgotten()) {
    if ((await within(journal.id, (disk) => disk.rows()).catch(() => 0)) > 0) all.forgotten.push(journal);
  }
  return all;
}

/** Deletes journals in which nothing was ever written. A journal that another tab still has open stays for now. */
export async function tidyApart({ device, locks }: Pick<ApartEnv, 'device' | 'locks'>): Promise<void> {
  if (!locks) return; // nobody can say whether another tab is about to write
  for (const { id } of await device.apart()) {
    await locks.request(core(id), { ifAvailable: true }, async (lock) => {
      if (lock && (await within(id, (disk) => disk.unsent())) === 0) await device.drop(id);
    });
  }
}

/**
 * Brings the entries of the journals along about which the person had not decided; of those kept apart when there are no
 * others. A journal of which something could not be brought is kept apart.
 */
export async function bringAlong(env: ApartEnv): Promise<Reply<Brought>> {
  const all: Brought = { brought: 0, not_brought: 0 };
  const journals = await env.device.apart();
  const undecided = journals.filter(({ decided }) => !decided);
  for (const journal of undecided.length > 0 ? undecided : journals) {
    const reply = await alone(env.locks, journal.id, () => bringOne(env, journal.id, false));
    if (!('ok' in reply)) return reply;
    all.brought += reply.ok.brought;
    all.not_brought += reply.ok.not_brought;
  }
  return { ok: all };
}

/** Joins a journal that the server forgot with the open one, whole. Nothing happens with any other. */
export async function bringForgotten(env: ApartEnv, id: string): Promise<Reply<Brought>> {
  if (!(await env.device.forgotten()).some((it) => it.id === id)) return { ok: { brought: 0, not_brought: 0 } };
  return alone(env.locks, id, () => bringOne(env, id, true));
}

/** The person keeps apart what they had not decided about, or the journal that is named. */
export async function keepApart(device: DeviceDb, journal?: string): Promise<void> {
  if (journal !== undefined) return device.keepApart(journal);
  for (const { id, decided } of await device.apart()) if (!decided) await device.keepApart(id);
}

async function bringOne({ device, file, take }: ApartEnv, id: string, whole: boolean): Promise<Reply<Brought>> {
  const reply = await within(id, async (disk): Promise<Reply<Brought>> => {
    if ((await disk.rows()) === 0) return { ok: { brought: 0, not_brought: 0 } };
    const written = await file(id, disk);
    return 'ok' in written ? take(written.ok, whole) : written;
  });
  if (!('ok' in reply)) return reply;
  if (reply.ok.not_brought > 0) await device.keepApart(id);
  else await device.drop(id);
  return reply;
}

/** Runs `work` while no tab runs the core of a journal: nothing is written in it that would not be brought. */
async function alone<T>(locks: Locks, id: string, work: () => Promise<T>): Promise<T> {
  if (!locks) return work();
  return locks.request(core(id), { signal: AbortSignal.timeout(waitMs) }, work) as Promise<T>;
}

async function within<T>(id: string, work: (disk: JournalDb) => Promise<T>): Promise<T> {
  const disk = await JournalDb.open(id, () => undefined);
  try {
    return await work(disk);
  } finally {
    disk.close();
  }
}

/** The lock of the tab that runs a journal's core; see Tabs. */
const core = (id: string): string => `core.${id}`;
