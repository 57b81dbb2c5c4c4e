import { signal } from '@preact/signals';
import { Fragment } from 'preact';
import { useState } from 'preact/hooks';
import type { Id, JournalAnswer, PourRow } from '../../../shared/core.ts';
import { type Live } from '../../core-client.ts';
import { alcohol, countryName, decimal, longDay } from '../../format.ts';
import { Empty } from '../../parts/empty.tsx';
import { Field } from '../../parts/field.tsx';
import { PourAt, PourDrinks, PourWhat } from '../../parts/pour-row.tsx';
import { Once } from '../../parts/once.tsx';
import { save } from '../../parts/saved.tsx';
import { Waiting } from '../../parts/waiting.tsx';
import { later, words } from '../../words.ts';
import * as toneCss from '../../parts/tone.module.css';
import * as css from './style.module.css';

/** What the list shows stays as it is while single pours are looked at. */
export const find = signal('');
export const days = signal(30);
const more = 60;

/** The newest pour of an answer, to stand beside the list. */
export function newestOf(answer: JournalAnswer): Id | null {
  let newest: PourRow | null = null;
  for (const pour of answer.days[0]?.sessions.flatMap((session) => session.pours) ?? []) {
    if (newest === null || pour.at_ms >= newest.at_ms) newest = pour;
  }
  return newest?.id ?? null;
}

/** Past pours by day and session, with what they come to. */
export function JournalList({ live, current }: { live: Live<JournalAnswer>; current: Id | null }) {
  const { answer, slow, fault, old } = live;
  if (!answer) return <Waiting slow={slow} fault={fault} />;
  if (answer.total === 0) {
    return (
      <Empty title={later.journal.emptyTitle}>
        <p>{later.journal.empty}</p>
      </Empty>
    );
  }
  return (
    <div class={old ? 'dim' : undefined}>
      <Field
        label={words.find}
        type="search"
        value={find.value}
        onInput={(text) => {
          find.value = text;
        }}
      />
      <p class="quiet">{later.journal.unit(decimal(answer.unit.grams, 2, 0), countryName(answer.unit.country))}</p>
      {answer.counting && (
        <p class="quiet" role="status">
          {later.journal.counting}
        </p>
      )}
      {answer.days.length === 0 && find.value !== '' && <p role="status">{words.nothingFound(find.value)}</p>}
      {answer.days.map((day) => (
        <Day key={day.day} day={day} current={current} />
      ))}
      {answer.more && (
        <div class="btns">
          <button
            type="button"
            class="btn"
            onClick={() => {
              days.value += more;
            }}
          >
            {later.journal.older}
          </button>
        </div>
      )}
    </div>
  );
}

function Day({ day, current }: { day: JournalAnswer['days'][number]; current: Id | null }) {
  const [moving, setMoving] = useState(false);
  const several = day.sessions.reduce((n, session) => n + session.pours.length, 0) > 1;
  // What a search leaves out may lie between two rows, so then no session is moved.
  const may = several && find.value === '';
  return (
    <section class={`part ${css.day}`} data-testid="day">
      <h2>
        {longDay(day.day)}{' '}
        <span class={toneCss.plain} data-testid="total">
          {alcohol(day.alcohol)}
        </span>
      </h2>
      {day.sessions.map((session, at) => (
        <div key={session.since}>
          {may && moving && at > 0 && session.pours[0] && <Move pour={session.pours[0]} to="join" />}
          {day.sessions.length > 1 && session.pours.length > 1 && (
            <p class={`quiet ${css.session}`}>
              {later.journal.session(session.since, session.until)} <span>{alcohol(session.alcohol)}</span>
            </p>
          )}
          <ol class="rows">
            {session.pours.map((pour, i) => (
              <Fragment key={pour.id}>
                {may && moving && i > 0 && (
                  <li>
                    <Move pour={pour} to="split" />
                  </li>
                )}
                <Row pour={pour} current={pour.id === current} />
              </Fragment>
            ))}
          </ol>
        </div>
      ))}
      {may && (
        <button type="button" class="link" aria-expanded={moving} onClick={() => setMoving(!moving)}>
          {moving ? later.pour.sessionMoved : later.pour.sessionMove}
        </button>
      )}
    </section>
  );
}

/** Between two pours: the owner's word that a session begins there, or does not; undone to the word that stood before. */
function Move({ pour, to }: { pour: PourRow; to: 'split' | 'join' }) {
  const set = (join_mark: string | null) => ({ do: 'edit', id: pour.id, kind: 'pour', set: { join_mark } }) as const;
  const split = to === 'split';
  return (
    <Once
      control={`move ${pour.id}`}
      class="link quiet"
      label={split ? later.pour.sessionSplitAt(pour.time) : later.pour.sessionJoinAt(pour.time)}
      act={() => save(set(to), later.pour.sessionSaved, () => set(pour.mark === '' ? null : pour.mark))}
    >
      {split ? later.pour.sessionSplit : later.pour.sessionJoin}
    </Once>
  );
}

function Row({ pour, current }: { pour: PourRow; current: boolean }) {
  return (
    <li class={css.past} aria-current={current ? 'true' : undefined}>
      <PourAt pour={pour} />
      <PourWhat pour={pour} whole />
      <PourDrinks pour={pour} />
    </li>
  );
}
