import { useAnswer } from '../../core-client.ts';
import { shortDay, withDates } from '../../format.ts';
import { Frame } from '../../frame.tsx';
import { Confirm } from '../../parts/confirm.tsx';
import { save } from '../../parts/saved.tsx';
import { Waiting } from '../../parts/waiting.tsx';
import type { KeeperAnswer } from '../../../shared/core.ts';
import { words } from '../../words.ts';
import './style.css';

/** What was deleted: brought back, or erased for good. */
export function Trash() {
  const { answer, slow, fault } = useAnswer({ q: 'keeper' });
  return (
    <Frame title={words.keeper.trash} away="/keeper">
      <div class="narrow">{answer ? <List trash={answer.trash} /> : <Waiting slow={slow} fault={fault} />}</div>
    </Frame>
  );
}

function List({ trash }: { trash: KeeperAnswer['trash'] }) {
  return (
    <>
      {trash.length === 0 && <p class="quiet">{words.keeper.noTrash}</p>}
      <ul class="rows">
        {trash.map((it) => {
          const title = withDates(it.title) || (words.keeper.kind[it.kind] ?? it.kind);
          return (
            <li key={it.id} class="thrown">
              <p>
                {title}
                <br />
                <span class="quiet">
                  {words.keeper.trashed(words.keeper.kind[it.kind] ?? it.kind, shortDay(it.day))}
                </span>
              </p>
              <div class="btns">
                <button
                  type="button"
                  class="btn"
                  aria-label={words.keeper.restoreLabel(title)}
                  onClick={() =>
                    void save({ do: 'restore', id: it.id }, words.keeper.restored(title), () => ({
                      do: 'delete',
                      id: it.id,
                    }))
                  }
                >
                  {words.keeper.restore}
                </button>
                <Confirm
                  label={words.keeper.erase}
                  named={words.keeper.eraseLabel(title)}
                  question={words.keeper.eraseSure(title)}
                  yes={words.keeper.eraseYes}
                  onYes={() => void save({ do: 'erase', id: it.id }, words.keeper.erased(title))}
                />
              </div>
            </li>
          );
        })}
      </ul>
    </>
  );
}
