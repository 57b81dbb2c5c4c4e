import { useState } from 'preact/hooks';
import type { BottlesAnswer } from '../../../shared/core.ts';
import { useAnswer } from '../../core-client.ts';
import { decimal, ml, money, percent, plainNumber, shortDay } from '../../format.ts';
import { Frame } from '../../frame.tsx';
import { newId } from '../../ids.ts';
import { Empty } from '../../parts/empty.tsx';
import { Field } from '../../parts/field.tsx';
import { Level } from '../../parts/level.tsx';
import { readNumber } from '../../parts/read-number.ts';
import { Once } from '../../parts/once.tsx';
import { save } from '../../parts/saved.tsx';
import { Waiting } from '../../parts/waiting.tsx';
import { Mark } from '../../state-mark.tsx';
import { later, words } from '../../words.ts';
import { AddBottle } from './add.tsx';
import { GiveAway } from './give-away.tsx';
import { today } from './today.ts';
import * as standsCss from '../../parts/stands.module.css';
import * as toneCss from '../../parts/tone.module.css';
import * as whyCss from '../../parts/why.module.css';
import * as css from './style.module.css';
import * as stateMarkCss from '../../state-mark.module.css';

type Bottle = BottlesAnswer['rows'][number];

/** What stands on the shelf, and what is left of it. */
export function Bottles() {
  const { answer, slow, fault, old } = useAnswer({ q: 'bottles' });
  const { answer: evening } = useAnswer({ q: 'tonight' });
  const [adding, setAdding] = useState(false);
  const rows = answer?.rows ?? [];
  const standing = rows.filter((row) => row.finished_on === null);
  const finished = rows.filter((row) => row.finished_on !== null);
  return (
    <Frame
      title={words.rooms.bottles}
      {...(rows.length > 0 ? { sub: later.bottles.sub(standing.length) } : {})}
      {...(adding
        ? { act: { label: later.bottles.save, form: 'bottle' } }
        : { act: { label: later.bottles.act, onClick: () => setAdding(true) } })}
    >
      {!answer ? (
        <Waiting slow={slow} fault={fault} />
      ) : (
        <div class={old ? 'panes even dim' : 'panes even'}>
          <div>
            <p>
              <a class="link" href="/making">
                {later.making.title}
              </a>
            </p>
            {adding && (
              <AddBottle currency={rows.find((row) => row.currency)?.currency ?? ''} onDone={() => setAdding(false)} />
            )}
            {rows.length === 0 && !adding && (
              <Empty title={later.bottles.emptyTitle}>
                <p>{later.bottles.empty}</p>
              </Empty>
            )}
            {standing.length > 0 && <Shelf heading={later.bottles.list} rows={standing} />}
          </div>
          {(finished.length > 0 || evening?.quiet) && (
            <div>
              {evening?.quiet && <GiveAway rows={rows} />}
              {finished.length > 0 && <Shelf heading={later.bottles.finishedList} rows={finished} />}
            </div>
          )}
        </div>
      )}
    </Frame>
  );
}

function Shelf({ heading, rows }: { heading: string; rows: readonly Bottle[] }) {
  return (
    <section class="part">
      <h2>{heading}</h2>
      <ul class="rows">
        {rows.map((row) => (
          <li key={row.id} class={standsCss.bottle}>
            <OneBottle row={row} />
          </li>
        ))}
      </ul>
    </section>
  );
}

function OneBottle({ row }: { row: Bottle }) {
  const strength =
    row.abv_percent === null
      ? words.strengthUnknown
      : row.abv_percent > 0
        ? later.pour.strength(percent(row.abv_percent))
        : '';
  const price = row.price_minor !== null && row.price_minor > 0 ? money(row.price_minor, row.currency) : '';
  const when = row.finished_on
    ? later.bottles.finished(shortDay(row.finished_on))
    : row.opened_on
      ? later.bottles.opened(shortDay(row.opened_on))
      : later.bottles.unopened;
  return (
    <>
      <div class={standsCss.stands}>
        <div>
          <h3 class="name">{row.name}</h3>
          <p class="quiet">{[strength, when].filter(Boolean).join(' · ')}</p>
          {price !== '' && <p class="quiet">{price}</p>}
          {row.clash && (
            <p class={`${stateMarkCss.state} ${toneCss.look}`}>
              <Mark shape="offset" />
              <a href={`/clash/${row.id}`}>{words.twoValues}</a>
            </p>
          )}
        </div>
        {row.finished_on === null && (
          <div class="end">
            <p>{leftText(row)}</p>
            <Level left={row.left_ml} size={row.size_ml} />
          </div>
        )}
      </div>
      <Change row={row} />
    </>
  );
}

function leftText(row: Bottle): string {
  if (row.left_ml === null) return later.bottles.leftUnknown;
  const left = ml(Math.round(row.left_ml));
  return row.size_ml === null
    ? later.bottles.left(left)
    : later.bottles.ofSize(decimal(Math.round(row.left_ml), 0), ml(row.size_ml));
}

function Change({ row }: { row: Bottle }) {
  const [left, setLeft] = useState(row.left_ml === null ? '' : plainNumber(Math.round(row.left_ml)));
  const [bad, setBad] = useState<string | undefined>(undefined);
  const edit = (set: Record<string, string | null>, text: string, back: Record<string, string | null>) =>
    save({ do: 'edit', id: row.id, kind: 'bottle', set }, text, () => ({
      do: 'edit',
      id: row.id,
      kind: 'bottle',
      set: back,
    }));
  return (
    <details class={`${whyCss.why} ${whyCss.unruled}`}>
      <summary aria-label={later.bottles.manage(row.name)}>{later.bottles.change}</summary>
      {row.finished_on === null && (
        <form
          class={css.stock}
          noValidate
          onSubmit={(event) => {
            event.preventDefault();
            const millilitres = readNumber(left);
            if (millilitres === null) return setBad(later.bottles.needSize(left));
            setBad(undefined);
            void save(
              {
                do: 'edit',
                id: newId(),
                kind: 'level',
                set: { bottle: row.id, at_ms: Date.now(), left_ul: Math.round(millilitres * 1000) },
              },
              later.bottles.stockSaved,
              (done) => ({ do: 'delete', id: done.made }),
            );
          }}
        >
          <Field label={later.bottles.stock} inputMode="decimal" value={left} onInput={setLeft} error={bad} />
          <button type="submit" class="btn">
            {later.bottles.stockSave}
          </button>
        </form>
      )}
      <div class="btns">
        {row.opened_on === null && row.finished_on === null && (
          <button
            type="button"
            class="btn"
            onClick={() => void edit({ opened_on: today() }, later.bottles.openSaved, { opened_on: null })}
          >
            {later.bottles.openToday}
          </button>
        )}
        {row.finished_on === null ? (
          <button
            type="button"
            class="btn"
            onClick={() => void edit({ finished_on: today() }, later.bottles.finishSaved, { finished_on: null })}
          >
            {later.bottles.finish}
          </button>
        ) : (
          <button
            type="button"
            class="btn"
            onClick={() => void edit({ finished_on: null }, words.saved, { finished_on: row.finished_on })}
          >
            {later.bottles.unfinish}
          </button>
        )}
        <Once
          control={`delete ${row.id}`}
          class="btn"
          act={() =>
            save({ do: 'delete', id: row.id }, later.bottles.deleted(row.name), () => ({
              do: 'restore',
              id: row.id,
            }))
          }
        >
          {later.bottles.delete}
        </Once>
      </div>
    </details>
  );
}
