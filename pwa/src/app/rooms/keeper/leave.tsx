import { useState } from 'preact/hooks';
import { leave } from '../../core-client.ts';
import { moment } from '../../format.ts';
import { Confirm } from '../../parts/confirm.tsx';
import { journal, sync } from '../../state.ts';
import { later } from '../../words.ts';
import { EraseHere } from './erase-here.tsx';
import { HeldList, isSafe, unsentOf, useHeld } from '../../parts/held.tsx';
import { isGone } from '../../parts/signed-in.ts';

/** Signing out, with what is here kept or erased; before pairing there is only the second. */
export function Leave() {
  const [failed, setFailed] = useState(false);
  const found = useHeld();
  const now = journal.value;
  if (now === null) return null;
  if (isGone()) return <EraseHere />;
  const { paired } = now;
  const signedIn = paired !== null && paired.out === undefined;
  const unsent = unsentOf(found);
  const safe = isSafe(found);
  const last = sync.value.last_ms;
  /** Whether this device is signed out. */
  const go = async (erase: boolean): Promise<boolean> => {
    let left = true;
    try {
      await leave(erase);
      if (erase) localStorage.clear();
    } catch {
      left = false;
    }
    setFailed(!left);
    return left;
  };
  return (
    <section class="part">
      <h2>{signedIn ? later.leaving.title : later.leaving.titleLocal}</h2>
      <p>{signedIn ? later.leaving.what : paired ? later.leaving.whatOut : later.leaving.whatLocal}</p>
      {paired && unsent > 0 && <p>{later.leaving.unsent(unsent)}</p>}
      {paired && unsent === 0 && (
        <p>{safe ? later.leaving.allSent : later.leaving.notChecked(last === null ? '' : moment(last))}</p>
      )}
      <HeldList found={found} />
      {(now.elsewhere ?? 0) > 0 && <p>{later.leaving.elsewhere(now.elsewhere ?? 0)}</p>}
      {failed && <p role="alert">{later.leaving.failed}</p>}
      <div class="btns">
        <a class="btn" href="/keeper/export">
          {later.leaving.exportFirst}
        </a>
        {signedIn && (
          <Confirm
            label={later.leaving.keep}
            question={later.leaving.keepSure}
            yes={later.leaving.keepYes}
            onYes={() => go(false)}
          />
        )}
        <Confirm
          label={signedIn ? later.leaving.erase : later.leaving.eraseOut}
          question={paired ? later.leaving.eraseSure(unsent, safe) : later.leaving.eraseLocal(unsent)}
          yes={later.leaving.eraseYes}
          onYes={() => go(true)}
        />
      </div>
    </section>
  );
}
