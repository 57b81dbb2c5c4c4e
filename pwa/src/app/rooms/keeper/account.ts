import type { ApiAnswer } from '../../../shared/messages.ts';
import { isRecord, listIn, numberIn, textIn } from '../../parts/answer.ts';

/** An account of the server, as its owner sees it: nothing of its journal. */
export interface Account {
  name: string;
  role: string;
  seenMs: number;
  devices: number;
}

export interface Invitation {
  id: string;
  expiresMs: number;
}

/** The server's lists, checked at the door; null when there is no answer. */
export function accountsIn(answer: ApiAnswer): Account[] | null {
  const listed = listIn(answer, 'accounts');
  if (listed === null) return null;
  return listed.flatMap((it): Account[] =>
    typeof it.name === 'string'
      ? [{ name: it.name, role: textIn(it.role), seenMs: numberIn(it.last_seen_ms), devices: numberIn(it.devices) }]
      : [],
  );
}

export function invitationsIn(answer: ApiAnswer): Invitation[] | null {
  const listed = listIn(answer, 'invitations');
  if (listed === null) return null;
  return listed.flatMap((it): Invitation[] =>
    typeof it.id === 'string' ? [{ id: it.id, expiresMs: numberIn(it.expires_ms) }] : [],
  );
}

export function invitedIn({ status, body }: ApiAnswer): (Invitation & { code: string }) | null {
  if (status !== 200 || !isRecord(body)) return null;
  const { id, code, expires_ms: expiresMs } = body;
  if (typeof id !== 'string' || typeof code !== 'string' || typeof expiresMs !== 'number') return null;
  return { id, code, expiresMs };
}
