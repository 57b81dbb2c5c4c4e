import { useState } from 'preact/hooks';
import { leave } from '../../core-client.ts';
import { Entry, Password } from '../../enter/fields.tsx';
import { Frame } from '../../frame.tsx';
import { Confirm } from '../../parts/confirm.tsx';
import { journal, sync } from '../../state.ts';
import { later, words } from '../../words.ts';
import { problemIn, send, waitIn } from '../../parts/answer.ts';
import { TakeAlong } from './export.tsx';
import { signedIn } from '../../parts/signed-in.ts';
import * as cautionsCss from '../../parts/cautions.module.css';

/** The end of the account and its journal, on the server and here. */
export function Delete() {
  const { id, paired } = journal.value ?? { id: '', paired: null };
  return (
    <Frame title={words.deleting.title} away="/keeper">
      {paired && signedIn() ? (
        <div class="panes even">
          <div>
            <section class="part first">
              <p>{later.deleting.what}</p>
              <ul class={cautionsCss.cautions}>
                {later.deleting.list.map((it) => (
                  <li key={it}>{it}</li>
                ))}
              </ul>
              <p>{later.deleting.here}</p>
              <p>{later.deleting.others}</p>
              <p class="quiet">{later.deleting.backups}</p>
            </section>
            <TakeAlong title={later.deleting.first} />
          </div>
          <Typed id={id} account={paired.account} by={paired.has_password ? 'password' : 'name'} />
        </div>
      ) : (
        journal.value !== null && <p>{later.deleting.notSignedIn}</p>
      )}
    </Frame>
  );
}

function Typed({ id, account, by }: { id: string; account: string; by: 'password' | 'name' }) {
  const [typed, setTyped] = useState('');
  const [working, setWorking] = useState(false);
  const [wrong, setWrong] = useState<string | null>(null);
  const { online, unsent } = sync.value;
  /** Whether the account is gone. */
  const go = async (): Promise<boolean> => {
    setWorking(true);
    setWrong(null);
    const answer = await send(`/api/v1/journals/${encodeURIComponent(id)}/erase`, { typed: typed.normalize('NFC') });
    if (answer.status === 200) {
      try {
        await leave(true);
        localStorage.clear();
      } catch {
        setWrong(later.deleting.leftHere);
      }
    } else {
      setWrong(later.deleting.refused(problemIn(answer), by, waitIn(answer)));
    }
    setWorking(false);
    return answer.status === 200;
  };
  return (
    <section class="part" aria-live="polite">
      <h2>{later.deleting.last}</h2>
      {unsent > 0 && <p>{later.deleting.unsent(unsent)}</p>}
      {!online && <p role="status">{later.deleting.needs}</p>}
      {by === 'password' ? (
        <Password
          label={later.deleting.password}
          name="password"
          value={typed}
          onInput={setTyped}
          error={wrong ?? undefined}
          autocomplete="current-password"
        />
      ) : (
        <Entry
          label={later.deleting.name(account)}
          name="account"
          value={typed}
          onInput={setTyped}
          error={wrong ?? undefined}
        />
      )}
      {working ? (
        <p role="status">{later.deleting.working}</p>
      ) : (
        <Confirm
          label={later.deleting.act}
          question={later.deleting.sure(account)}
          yes={later.deleting.yes}
          disabled={!online || typed.trim() === ''}
          onYes={go}
        />
      )}
    </section>
  );
}
