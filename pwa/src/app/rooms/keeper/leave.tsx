import { useState } from 'preact/hooks';
import { leave } from '../../core-client.ts';
import { Confirm } from '../../parts/confirm.tsx';
import { journal, sync } from '../../state.ts';
import { words } from '../../words.ts';
import { EraseHere } from './erase-here.tsx';
import { isGone } from './signed-in.ts';

/** Signing out, with what is here kept or erased; before pairing there is only the second. */
export function Leave() {
  const [failed, setFailed] = useState(false);
  const now = journal.value;
  if (now === null) return null;
  if (isGone()) return <EraseHere />;
  const { paired, apart } = now;
  const signedIn = paired !== null && paired.out === undefined;
  const unsent = sync.value.unsent + apart;
  const go = async (erase: boolean) => {
    try {
      await leave(erase);
      if (erase) localStorage.clear();
      setFailed(false);
    } catch {
      setFailed(true);
    }
  };
  return (
    <section class="part">
      <h2>{signedIn ? words.leaving.title : words.leaving.titleLocal}</h2>
      <p>{signedIn ? words.leaving.what : paired ? words.leaving.whatOut : words.leaving.whatLocal}</p>
      {paired && <p>{unsent === 0 ? words.leaving.allSent : words.leaving.unsent(unsent)}</p>}
      {(now.elsewhere ?? 0) > 0 && <p>{words.leaving.elsewhere(now.elsewhere ?? 0)}</p>}
      {failed && <p role="alert">{words.leaving.failed}</p>}
      <div class="btns">
        <a class="btn" href="/keeper/export">
          {words.leaving.exportFirst}
        </a>
        {signedIn && (
          <Confirm
            label={words.leaving.keep}
            question={words.leaving.keepSure}
            yes={words.leaving.keepYes}
            onYes={() => void go(false)}
          />
        )}
        <Confirm
          label={signedIn ? words.leaving.erase : words.leaving.eraseOut}
          question={paired ? words.leaving.eraseSure(unsent) : words.leaving.eraseLocal(unsent)}
          yes={words.leaving.eraseYes}
          onYes={() => void go(true)}
        />
      </div>
    </section>
  );
}
