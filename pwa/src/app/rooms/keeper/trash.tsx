import { useAnswer } from '../../core-client.ts';
import { shortDay, withDates } from '../../format.ts';
import { Frame } from '../../frame.tsx';
import { Confirm } from '../../parts/confirm.tsx';
import { Once } from '../../parts/once.tsx';
import { save } from '../../parts/saved.tsx';
import { Waiting } from '../../parts/waiting.tsx';
import type { KeeperAnswer } from '../../../shared/core.ts';
import { later } from '../../words.ts';
import * as css from './style.module.css';

/** What was deleted: brought back, or erased for good. */
export function Trash() {
  const { answer, slow, fault } = useAnswer({ q: 'keeper' });
  return (
    <Frame title={later.keeper.trash} away="/keeper">
      <div class="narrow">{answer ? <List trash={answer.trash} /> : <Waiting slow={slow} fault={fault} />}</div>
    </Frame>
  );
}

function List({ trash }: { trash: KeeperAnswer['trash'] }) {
  return (
    <>
      {trash.length === 0 && <p class="quiet">{later.keeper.noTrash}</p>}
      <ul class="rows">
        {trash.map((it) => {
          const title = withDates(it.title) || (later.keeper.kind[it.kind] ?? it.kind);
          return (
            <li key={it.id} class={css.thrown}>
              <p>
                {title}
                <br />
                <span class="quiet">
                  {later.keeper.trashed(later.keeper.kind[it.kind] ?? it.kind, shortDay(it.day))}
                </span>
              </p>
              <div class="btns">
                <Once
                  control={`restore ${it.id}`}
                  class="btn"
                  label={later.keeper.restoreLabel(title)}
                  act={() =>
                    save({ do: 'restore', id: it.id }, later.keeper.restored(title), () => ({
                      do: 'delete',
                      id: it.id,
                    }))
                  }
                >
                  {later.keeper.restore}
                </Once>
                <Confirm
                  label={later.keeper.erase}
                  named={later.keeper.eraseLabel(title)}
                  question={later.keeper.eraseSure(title)}
                  yes={later.keeper.eraseYes}
                  onYes={async () => (await save({ do: 'erase', id: it.id }, later.keeper.erased(title))) !== null}
                />
              </div>
            </li>
          );
        })}
      </ul>
    </>
  );
}
