import { useState } from 'preact/hooks';
import { leave } from '../../core-client.ts';
import { Confirm } from '../../parts/confirm.tsx';
import { journal } from '../../state.ts';
import { later, words } from '../../words.ts';
import { HeldList, unsentOf, useHeld } from '../../parts/held.tsx';

/** The journal is gone from the server; here it stays until the person says otherwise. */
export function EraseHere() {
  const [failed, setFailed] = useState(false);
  const found = useHeld();
  const unsent = unsentOf(found);
  const elsewhere = journal.value?.elsewhere ?? 0;
  /** Whether it is gone from here. */
  const go = async (): Promise<boolean> => {
    try {
      await leave(true);
      localStorage.clear();
      return true;
    } catch {
      setFailed(true);
      return false;
    }
  };
  return (
    <section class="part">
      <h2>{words.late.erase}</h2>
      <p>{words.late.eraseWhat}</p>
      {unsent > 0 && <p>{words.late.unsent(unsent)}</p>}
      <HeldList found={found} />
      {elsewhere > 0 && <p>{later.leaving.elsewhere(elsewhere)}</p>}
      {failed && <p role="alert">{later.leaving.failed}</p>}
      <div class="btns">
        <Confirm label={words.late.act} question={words.late.sure} yes={words.late.yes} onYes={go} />
      </div>
    </section>
  );
}
