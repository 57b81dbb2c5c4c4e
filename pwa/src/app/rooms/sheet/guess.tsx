import { useState } from 'preact/hooks';
import type { GuessesAnswer } from '../../../shared/core.ts';
import { useAnswer } from '../../core-client.ts';
import { alcohol, decimal, ml } from '../../format.ts';
import { Frame } from '../../frame.tsx';
import { newId } from '../../ids.ts';
import { PassShort } from '../../parts/guide.tsx';
import { Once } from '../../parts/once.tsx';
import { save } from '../../parts/saved.tsx';
import { Waiting } from '../../parts/waiting.tsx';
import { atOf, type Moment, When } from '../../parts/when.tsx';
import { back } from '../../router.ts';
import { words } from '../../words.ts';

/** A drink made by someone else, of bottles nobody here knows: by what it was like, as an estimate. */
export function Guess() {
  const { answer, slow, fault } = useAnswer({ q: 'guesses' });
  return (
    <Frame title={words.guessing.title} away="/pour">
      {answer ? <Choices rows={answer.rows} /> : <Waiting slow={slow} fault={fault} />}
    </Frame>
  );
}

function Choices({ rows }: { rows: GuessesAnswer['rows'] }) {
  const quiet = useAnswer({ q: 'tonight' }).answer?.quiet ?? false;
  const [at, setAt] = useState<Moment | null>(null);
  const [bad, setBad] = useState<string | undefined>(undefined);
  const take = async (row: GuessesAnswer['rows'][number]) => {
    const { wrong, ...moment } = atOf(at);
    setBad(wrong);
    if (wrong) return null;
    const done = await save(
      {
        do: 'plain',
        id: newId(),
        name: row.name,
        vol_ul: Math.round(row.volume_ml * 1000),
        abv_bp: Math.round(row.abv_percent * 100),
        about: true,
        ...moment,
      },
      words.tonight.poured(row.name),
      (made) => ({ do: 'delete', id: made.made }),
    );
    if (done) back('/');
    return done;
  };
  return (
    <div class="narrow">
      <When value={at} onChange={setAt} error={bad} />
      <p>{words.guessing.what}</p>
      <ul class="rows">
        {rows.map((row) => (
          <li key={row.id}>
            <Once control={`guess ${row.id}`} class="row" act={() => take(row)}>
              <span>
                {row.name}
                <br />
                <span class="quiet">
                  {words.guessing.detail(
                    words.about(ml(row.volume_ml)),
                    words.guessing.strength(decimal(row.lo, 1, 0), decimal(row.hi, 1, 0)),
                  )}{' '}
                  · {words.guessing.marking[row.marking] ?? row.marking}
                </span>
                {at === null && !quiet && <PassShort passes={row.passes} />}
              </span>
              <span class="quiet end">{alcohol(row.alcohol)}</span>
            </Once>
          </li>
        ))}
      </ul>
    </div>
  );
}
