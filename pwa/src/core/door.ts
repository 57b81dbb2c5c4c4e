/**
 * The door: how this device is let in to an account, by code, by name and password, with an invitation, or by setting the
 * server up. What the server says is checked here; being let in opens the account's journal.
 *
 * A journal belongs to the account it was opened for. Only one that was never paired is offered to the server, which takes
 * it when the account has none yet; a paired one stays on this device, unsent work included, until its own account comes in
 * again. If the server knows it no more it was lost, emptied or put back to a time before: then the person is asked whose it
 * is, and may bring it whole into the account they came in to.
 */
import type { ApiAnswer, Claimed, Door, OpenJournal, Paired } from '../shared/messages.ts';
import type { Claim, DeviceDb } from './db.ts';
import type { Asked, Heard } from './http.ts';

export interface DoorEnv {
  ask: (asked: Asked) => Promise<Heard | null>;
  device: Pick<DeviceDb, 'admitted' | 'known' | 'putClaim' | 'claim' | 'pairedBefore' | 'standings'>;
  /** The one that is open. */
  journal: OpenJournal;
  /** Opens the journal this device was let in to, in every tab. */
  letIn: () => Promise<void>;
  /** Tells every tab what is known by now. */
  known: () => Promise<void>;
}

export async function enter(env: DoorEnv, path: Door, body: Record<string, string>): Promise<ApiAnswer> {
  const answer = await knock(env, path, body);
  await comeIn(env, answer);
  return answer;
}

export async function pair(env: DoorEnv, code: string, name: string): Promise<ApiAnswer> {
  const answer = await knock(env, 'pair', { code, name });
  const wait = waitIn(answer);
  if (wait) {
    await env.device.putClaim(wait);
    return { status: 202, body: { number: wait.number } };
  }
  await comeIn(env, answer);
  return answer;
}

/** Asks whether the device that waits to be confirmed may come in. */
export async function claim(env: DoorEnv): Promise<Claimed> {
  const kept = await env.device.claim();
  if (!kept) return { number: null, answer: null };
  const body = JSON.stringify({ claim: kept.claim });
  const answer = apiAnswer(await env.ask({ method: 'POST', path: '/api/v1/auth/pair/claim', body }));
  const over = answer.status === 200 || answer.status === 403 || answer.status === 410;
  if (answer.status === 200) await comeIn(env, answer);
  if (over) await env.device.putClaim(null);
  return { number: over ? null : kept.number, answer: { status: answer.status, body: over ? answer.body : null } };
}

/** Asks who this device is signed in as, and keeps it. */
export async function me(env: DoorEnv): Promise<ApiAnswer> {
  const answer = apiAnswer(await env.ask({ method: 'GET', path: '/api/v1/auth/me' }));
  const said = answer.status === 200 ? admission(answer.body) : null;
  if (said) {
    await env.device.known(said.journal, said.paired);
    await askForgotten(env);
    await env.known();
  }
  return answer;
}

/** Asks about the paired journals that are here and not open. Without an answer all stays as it was. */
export async function askForgotten({ ask, device }: Pick<DoorEnv, 'ask' | 'device'>): Promise<void> {
  const journals = (await device.pairedBefore()).slice(0, mostAsked);
  if (journals.length === 0) return;
  const body = JSON.stringify({ journals });
  const answer = apiAnswer(await ask({ method: 'POST', path: '/api/v1/journals/unknown', body }));
  if (answer.status !== 200 || !is(answer.body)) return;
  const { unknown, erased } = answer.body;
  if (!isList(unknown) || !isList(erased)) return;
  await device.standings(journals, unknown, erased);
}

/** As many as a server answers at once. */
const mostAsked = 50;

async function knock(env: DoorEnv, path: Door | 'pair', body: Record<string, string>): Promise<ApiAnswer> {
  const own = env.journal.paired === null ? { journal: env.journal.id } : {};
  const asked = { method: 'POST', path: `/api/v1/auth/${path}`, body: JSON.stringify({ ...body, ...own }) } as const;
  return apiAnswer(await env.ask(asked));
}

async function comeIn(env: DoorEnv, answer: ApiAnswer): Promise<void> {
  const admitted = answer.status === 200 ? admission(answer.body) : null;
  if (!admitted) return;
  await env.device.admitted(admitted.journal, admitted.paired);
  await askForgotten(env);
  await env.letIn();
}

/** The server's word that another device has to confirm this one. */
function waitIn({ status, body }: ApiAnswer): Claim | null {
  if (status !== 202 || !is(body)) return null;
  const { number, claim } = body;
  if (typeof number !== 'string' || !/^\d\d$/.test(number) || typeof claim !== 'string' || claim === '') return null;
  return { claim, number };
}

/** The server's word that this device was admitted. */
function admission(body: unknown): { journal: string; paired: Paired } | null {
  if (!is(body) || !is(body.device) || !is(body.account)) return null;
  const {
    journal,
    device: { id, name },
    account: { name: account, role, has_password },
  } = body;
  if (typeof journal !== 'string' || !/^[0-9a-f]{32}$/.test(journal)) return null;
  if (typeof id !== 'string' || typeof name !== 'string' || typeof account !== 'string') return null;
  // A server that does not say has one owner, without a password.
  const may = { role: role === 'member' ? 'member' : 'owner', has_password: has_password === true } as const;
  return { journal, paired: { account, device: id, name, ...may } };
}

export function apiAnswer(heard: Heard | null): ApiAnswer {
  if (heard === null) return { status: 0, body: null };
  try {
    return { status: heard.status, body: heard.body === '' ? null : JSON.parse(heard.body) };
  } catch {
    return { status: 0, body: null };
  }
}

const isList = (value: unknown): value is string[] =>
  Array.isArray(value) && value.every((it) => typeof it === 'string');

const is = (value: unknown): value is Record<string, unknown> => typeof value === 'object' && value !== null;
