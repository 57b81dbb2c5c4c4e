import { useState } from 'preact/hooks';
import type { FlightAnswer } from '../../../shared/core.ts';
import { useAnswer } from '../../core-client.ts';
import { score } from '../../format.ts';
import { Frame } from '../../frame.tsx';
import { newId } from '../../ids.ts';
import { useDraft } from '../../parts/draft.ts';
import { Field } from '../../parts/field.tsx';
import { save } from '../../parts/saved.tsx';
import { ScoreScale } from '../../parts/score.tsx';
import { useSettled } from '../../parts/settled.ts';
import { Stepper } from '../../parts/stepper.tsx';
import { Waiting } from '../../parts/waiting.tsx';
import type { Params } from '../../router.ts';
import { later, words } from '../../words.ts';
import { named } from '../../parts/pairing.ts';
import { byPlace, type Seat } from './reckon.ts';
import * as chipsCss from '../../parts/chips.module.css';
import * as servingCss from '../../parts/serving.module.css';
import * as css from './style.module.css';

/** /flight/<id>/friends: the same glasses scored by somebody else, from paper or on the passed phone. */
export function Friends({ params }: { params: Params }) {
  const id = params.id ?? '';
  const { answer, slow, fault, refusal } = useAnswer({ q: 'flight', id });
  // Who holds the phone is kept, so that a reload does not put scores on another's name.
  const who = useDraft<string>(
    `friends.${id}`,
    () => '',
    (it) => (typeof it === 'string' ? it : null),
  );
  return (
    <Frame title={later.friends.title} sub={answer?.name} away={`/flight/${id}`}>
      {refusal ? (
        <p role="alert">{words.notThere}</p>
      ) : !answer || who.value === null ? (
        <Waiting slow={slow} fault={fault} />
      ) : (
        <div class="narrow">
          <p class={`quiet ${servingCss.told}`}>{later.friends.how}</p>
          {who.value === '' ? (
            <Who answer={answer} onChoose={who.set} />
          ) : (
            <Scores key={who.value} answer={answer} taster={who.value} onOther={() => who.set('')} />
          )}
        </div>
      )}
    </Frame>
  );
}

function Who({ answer, onChoose }: { answer: FlightAnswer; onChoose: (name: string) => void }) {
  const { answer: comparison } = useAnswer({ q: 'comparison', id: answer.comparison });
  const [name, setName] = useState('');
  const [bad, setBad] = useState(false);
  const known = [
    ...new Set([
      ...answer.seats.flatMap(({ ratings }) => ratings.map(({ taster }) => taster)),
      ...(comparison?.panel.map(({ taster }) => taster) ?? []),
    ]),
  ];
  const choose = (event: Event) => {
    event.preventDefault();
    const who = name.replace(/\s+/g, ' ').trim();
    if (who === '') setBad(true);
    else onChoose(who);
  };
  return (
    <section class="part">
      <h2>{later.friends.who}</h2>
      {known.length > 0 && (
        <div class={chipsCss.chips}>
          {known.map((it) => (
            <button key={it} type="button" class={chipsCss.chip} onClick={() => onChoose(it)}>
              {it}
            </button>
          ))}
        </div>
      )}
      <form onSubmit={choose} noValidate>
        <Field
          label={later.friends.name}
          value={name}
          onInput={setName}
          error={bad && name.trim() === '' ? later.friends.need : undefined}
        />
        <button type="submit" class="btn strong">
          {later.friends.choose}
        </button>
      </form>
    </section>
  );
}

function Scores({ answer, taster, onOther }: { answer: FlightAnswer; taster: string; onOther: () => void }) {
  return (
    <section class="part">
      <h2>{later.friends.of(taster)}</h2>
      <p class="quiet">{later.friends.later}</p>
      <ol class="rows">
        {answer.seats.map((seat) => (
          <li key={seat.id} class={css.rated} data-testid="rated">
            <Rated answer={answer} seat={seat} taster={taster} />
          </li>
        ))}
      </ol>
      <div class="btns">
        <button type="button" class="btn" onClick={onOther}>
          {later.friends.other}
        </button>
        <a class="btn" href={`/flight/${answer.id}`}>
          {later.friends.back}
        </a>
      </div>
    </section>
  );
}

const same = (a: string, b: string): boolean => a.toLowerCase() === b.toLowerCase();

function Rated({ answer, seat, taster }: { answer: FlightAnswer; seat: Seat; taster: string }) {
  const glass = byPlace(answer) ? later.tasting.glass(seat.pos) : String(seat.code);
  const had = seat.ratings.find((it) => same(it.taster, taster));
  const rate = (set: { score_x10?: number; note?: string }) =>
    save({ do: 'rate', id: newId(), seat: seat.id, taster, ...set }, later.friends.saved(taster, glass));
  const [x10, setX10] = useSettled<number | null>(had?.score_x10 ?? null, (score_x10) =>
    score_x10 === null ? Promise.resolve() : rate({ score_x10 }),
  );
  const [note, setNote] = useSettled<string>(had?.note ?? '', (text) => rate({ note: text.trim() }));
  return (
    <>
      <p class={servingCss.coded}>
        <b>{glass}</b>
        {seat.names.length > 0 && (answer.state === 'ended' || answer.sight === 'sighted') && (
          <span class="quiet">{named(seat.names)}</span>
        )}
      </p>
      <Stepper
        label={later.friends.score(glass)}
        less={later.friends.less(glass)}
        more={later.friends.more(glass)}
        lessText="−½"
        moreText="+½"
        value={x10}
        start={70}
        low={0}
        high={100}
        by={5}
        onChange={setX10}
        text={x10 === null ? '–' : score(x10)}
        spoken={x10 === null ? words.sheet.scoreNone : undefined}
        drawing={<ScoreScale x10={x10} />}
      />
      <Field label={later.friends.note(glass)} value={note} onInput={setNote} />
    </>
  );
}
