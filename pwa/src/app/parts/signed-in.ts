import { journal, sync } from '../state.ts';

/** After these the account is closed to this device until it is let in again, or for good. */
const closed: ReadonlySet<string> = new Set(['revoked', 'signed_out', 'expired', 'no_journal', 'erased']);

/** The account can be asked from here. */
export function signedIn(): boolean {
  const paired = journal.value?.paired ?? null;
  const { state, code } = sync.value;
  return paired !== null && paired.out === undefined && !(state === 'stopped' && closed.has(code ?? ''));
}

/** The journal was deleted for good, and this device learnt it late. */
export const isGone = (): boolean => sync.value.state === 'stopped' && sync.value.code === 'erased';
