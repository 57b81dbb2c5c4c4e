import { useEffect, useState } from 'preact/hooks';
import type { FlightAnswer } from '../../../shared/core.ts';
import { useAnswer } from '../../core-client.ts';
import { ml, score } from '../../format.ts';
import { Frame } from '../../frame.tsx';
import { newId } from '../../ids.ts';
import { Chips } from '../../parts/chips.tsx';
import { useDraft } from '../../parts/draft.ts';
import { Field } from '../../parts/field.tsx';
import { ScoreStepper, ShareStepper } from '../../parts/glass-steps.tsx';
import { save } from '../../parts/saved.tsx';
import { Waiting } from '../../parts/waiting.tsx';
import type { Params } from '../../router.ts';
import { words } from '../../words.ts';
import { later } from '../../words-later.ts';

/** /flight/<id>: what is poured, one code after another, and the names when the last is scored. */
export function Flight({ params }: { params: Params }) {
  const id = params.id ?? '';
  const { answer, slow, fault, refusal } = useAnswer({ q: 'flight', id });
  const state = (to: 'start' | 'end') => void save({ do: 'flight_state', id, state: to }, words.saved);
  const seat = answer?.seats.find(({ pos }) => pos === answer.next);
  return (
    <Frame title={answer?.name ?? later.flight.title} away={answer ? `/side/${answer.comparison}` : '/side'}>
      {refusal ? (
        <p role="alert">{words.notThere}</p>
      ) : !answer ? (
        <Waiting slow={slow} fault={fault} />
      ) : (
        <div class="narrow">
          {answer.revealed ? (
            <Result answer={answer} />
          ) : answer.state === 'planned' ? (
            <>
              <Pouring answer={answer} />
              <button type="button" class="btn strong" onClick={() => state('start')}>
                {later.flight.start}
              </button>
            </>
          ) : (
            <>
              {seat && <Tasting key={seat.id} seat={seat} terms={answer.terms} />}
              <button type="button" class="btn" onClick={() => state('end')}>
                {later.flight.end}
              </button>
            </>
          )}
        </div>
      )}
    </Frame>
  );
}

function Pouring({ answer }: { answer: FlightAnswer }) {
  return (
    <section class="part">
      <h2>{later.flight.first}</h2>
      <ul class="rows">
        {answer.batch.map((it) => (
          <li key={it.name} class="row">
            <span>{it.name}</span>
            <span class="end">{ml(it.ml)}</span>
          </li>
        ))}
      </ul>
      <details class="why">
        <summary>{later.flight.key}</summary>
        {answer.key.map((it) => (
          <p key={it.code}>
            <b>{it.code}</b> {it.lines.map((line) => `${line.name} ${ml(line.ml)}`).join(', ')}
          </p>
        ))}
      </details>
    </section>
  );
}

interface Form {
  x10: number | null;
  note: string;
  share: number;
  tags: readonly string[];
}
const kept = (it: unknown): Form | null =>
  typeof it === 'object' && it !== null && 'note' in it && 'share' in it && 'x10' in it && 'tags' in it
    ? (it as Form)
    : null;

/** The screen stays on while a glass is tasted, where the browser can; the end gives it back. */
function awake(): () => void {
  const lock = 'wakeLock' in navigator ? navigator.wakeLock.request('screen').catch(() => null) : Promise.resolve(null);
  return () => void lock.then((it) => it?.release()).catch(() => undefined);
}

function Tasting({ seat, terms }: { seat: FlightAnswer['seats'][number]; terms: readonly string[] }) {
  const draft = useDraft<Form>(`taste.${seat.id}`, () => ({ x10: null, note: '', share: 10000, tags: [] }), kept);
  const [pour] = useState(newId);
  const form = draft.value;
  useEffect(awake, []);
  if (form === null) return null;
  return (
    <section class="part first">
      <h2>{later.flight.code}</h2>
      <p class="fig one">{seat.code}</p>
      {seat.names.length > 0 && <p>{seat.names.join(' + ')}</p>}
      <ScoreStepper x10={form.x10} onChange={(x10) => draft.set({ ...form, x10 })} />
      <Field label={words.sheet.note} rows={2} value={form.note} onInput={(note) => draft.set({ ...form, note })} />
      <Chips terms={terms} chosen={form.tags} onChange={(tags) => draft.set({ ...form, tags })} />
      <ShareStepper bp={form.share} onChange={(share) => draft.set({ ...form, share })} />
      <p class="quiet">{later.flight.water}</p>
      <button
        type="button"
        class="btn strong"
        disabled={form.x10 === null}
        onClick={() =>
          void save(
            {
              do: 'taste',
              id: pour,
              seat: seat.id,
              score_x10: form.x10,
              note: form.note.trim(),
              share_bp: form.share,
              tags: [...form.tags],
            },
            later.flight.tasted(seat.code),
          ).then((done) => done && draft.drop())
        }
      >
        {later.flight.keep}
      </button>
    </section>
  );
}

function Result({ answer }: { answer: FlightAnswer }) {
  return (
    <section class="part first">
      <h2>{later.flight.result}</h2>
      <ul class="rows">
        {answer.seats.map((it) => (
          <li key={it.id} class="row">
            <span>
              <span class="quiet">{it.code}</span> {it.names.join(' + ')}
            </span>
            <span class="end">{it.score_x10 === null ? '–' : score(it.score_x10)}</span>
          </li>
        ))}
      </ul>
      <a class="btn" href={`/side/${answer.comparison}`}>
        {later.flight.toComparison}
      </a>
    </section>
  );
}
