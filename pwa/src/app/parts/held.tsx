import { useEffect, useState } from 'preact/hooks';
import { held, type Held } from '../core-client.ts';
import { journal, sync } from '../state.ts';
import { later, words } from '../words.ts';

/** What each journal on this device holds, the open one first; null while it is counted. */
export function useHeld(): Held[] | 'failed' | null {
  const [found, setFound] = useState<Held[] | 'failed' | null>(null);
  const { unsent, unreadable } = sync.value;
  useEffect(() => {
    let gone = false;
    held().then(
      (all) => void (gone || setFound(all)),
      () => void (gone || setFound('failed')),
    );
    return () => {
      gone = true;
    };
  }, [journal.value, unsent, unreadable]);
  return found;
}

/** How much of it was never sent, of all journals. */
export function unsentOf(found: Held[] | 'failed' | null): number {
  const open = sync.value.unsent;
  if (found === null || found === 'failed') return open + (journal.value?.apart ?? 0) + (journal.value?.elsewhere ?? 0);
  return found.reduce((sum, it) => sum + (it.standing === 'open' ? open : it.unsent), 0);
}

/** A server has confirmed, since the app was opened, that it has all that is on this device. */
export function isSafe(found: Held[] | 'failed' | null): boolean {
  return sync.value.state === 'synced' && Array.isArray(found) && found.every((it) => it.standing === 'open');
}

/** A line for each journal: whose it is, what is in it, and whether anyone else has it. */
export function HeldList({ found }: { found: Held[] | 'failed' | null }) {
  if (found === null) return <p class="quiet">{later.held.looking}</p>;
  if (found === 'failed') return <p role="alert">{later.held.failed}</p>;
  return (
    <ul aria-label={later.held.title}>
      {found.map((it) => (
        <li key={it.id}>
          <HeldLine it={it} />
        </li>
      ))}
    </ul>
  );
}

/** One of them in words. */
export function HeldLine({ it }: { it: Held }) {
  const unsent = it.standing === 'open' ? sync.value.unsent : it.unsent;
  const where = later.held.where[it.standing] ?? '';
  return (
    <>
      {later.held.name(it.standing, it.account)}: {it.counts ? later.held.counts(it.counts) : later.held.rows(it.rows)}
      {unsent > 0 && `; ${later.held.unsent(unsent)}`}. {where}
      {it.unreadable > 0 && ` ${words.unreadable(it.unreadable)}`}
    </>
  );
}
