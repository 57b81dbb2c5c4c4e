import { useState } from 'preact/hooks';
import type { FlightAnswer, Id } from '../../../shared/core.ts';
import { useAnswer } from '../../core-client.ts';
import { decimal, ml } from '../../format.ts';
import { type Act, Frame } from '../../frame.tsx';
import { newId } from '../../ids.ts';
import { Confirm } from '../../parts/confirm.tsx';
import { Once } from '../../parts/once.tsx';
import { save } from '../../parts/saved.tsx';
import { go } from '../../router.ts';
import { Mark } from '../../state-mark.tsx';
import { later, words } from '../../words.ts';
import { useAwake } from '../../parts/awake.ts';
import { useHidden } from '../../parts/hidden.ts';
import { ownLines } from './reckon.ts';
import * as alertCss from '../../parts/alert.module.css';
import * as secondCss from '../../parts/second.module.css';
import * as servingCss from '../../parts/serving.module.css';
import * as whyCss from '../../parts/why.module.css';
import * as css from './style.module.css';
import * as beforeAfterCss from '../../parts/before-after.module.css';

/** Before the first glass: what is poured, and by whom it may be seen. */
export function Pouring({ answer }: { answer: FlightAnswer }) {
  const blind = answer.sight === 'blind';
  const [shown, setShown] = useHidden();
  const [poured, setPoured] = useState(false);
  const start = () => void save({ do: 'flight_state', id: answer.id, state: 'start' }, later.pouring.started);
  /** The one thing to do next: see the sheet, hide it, begin. */
  const act = (): { act?: Act } => {
    if (blind && shown)
      return { act: { label: later.pouring.hide, onClick: () => (setShown(false), setPoured(true)) } };
    if (!answer.fits) return {};
    return blind && !poured
      ? { act: { label: later.pouring.show, onClick: () => setShown(true) } }
      : { act: { label: later.pouring.start, onClick: start } };
  };
  return (
    <Frame
      title={answer.name}
      sub={later.pouring.sub(answer.seats.length, ml(answer.pour_ml))}
      away={`/side/${answer.comparison}`}
      {...act()}
    >
      {!answer.fits && (
        <p class={`${alertCss.err} ${servingCss.told} ${servingCss.alarm}`} role="alert">
          <Mark shape="triangle" />
          <span>{later.pouring.noFit(decimal(answer.limit_drinks, 1, 0))}</span>
        </p>
      )}
      {blind && !shown ? (
        <section class="part first narrow">
          <h2>{later.pouring.who}</h2>
          <p class={servingCss.told}>{poured ? later.pouring.hidden : later.pouring.blind}</p>
          {poured || !answer.fits ? (
            <button type="button" class={secondCss.second} onClick={() => setShown(true)}>
              <b>{later.pouring.show}</b>
            </button>
          ) : (
            <button type="button" class={secondCss.second} onClick={start}>
              <b>{later.pouring.poured}</b>
            </button>
          )}
        </section>
      ) : (
        <PourSheet answer={answer} />
      )}
      {!(blind && shown) && (
        <div class="narrow unprinted">
          {answer.fits && <Warm comparison={answer.comparison} />}
          <div class="btns">
            <a class="btn" href={`/flight/${answer.id}/friends`}>
              {later.tasting.friends}
            </a>
            <button type="button" class="btn" onClick={() => void remove(answer)}>
              {later.pouring.remove}
            </button>
          </div>
        </div>
      )}
    </Frame>
  );
}

async function remove({ id, comparison }: FlightAnswer): Promise<void> {
  if (await save({ do: 'delete', id }, later.pouring.removed, () => ({ do: 'restore', id }))) {
    go(`/side/${comparison}`, true);
  }
}

/** While it is tasted: spilled, or begun too early. Asked twice, for the wrong eyes cannot unsee it. */
export function SheetAgain({ answer }: { answer: FlightAnswer }) {
  const [shown, setShown] = useHidden();
  if (!shown) {
    return (
      <Confirm
        label={later.pouring.again}
        question={later.pouring.againAsk}
        yes={later.pouring.show}
        onYes={() => {
          setShown(true);
          return true;
        }}
      />
    );
  }
  return (
    <>
      <PourSheet answer={answer} />
      <button type="button" class="btn strong" onClick={() => setShown(false)}>
        {later.pouring.hide}
      </button>
    </>
  );
}

/** How it is poured, step by step; what all glasses share, and what each code holds besides. Large: it is read from the counter. */
function PourSheet({ answer }: { answer: FlightAnswer }) {
  useAwake();
  const placed = [...answer.seats].sort((a, b) => a.pos - b.pos);
  return (
    <div class={`panes even ${css.pourSheet}`}>
      <div>
        <section class="part first">
          <h2>{later.pouring.sheet}</h2>
          <ol class={css.inturn}>
            {later.pouring.steps[answer.sight].map((text) => (
              <li key={text}>{text}</li>
            ))}
          </ol>
          {answer.method !== '' && (
            <p class={servingCss.told}>{later.pouring.method(words.method(answer.method).toLowerCase())}</p>
          )}
        </section>
        <section class="part">
          <h2>{later.pouring.common}</h2>
          <table class={beforeAfterCss.beforeafter}>
            <thead>
              <tr>
                <th scope="col">{later.pouring.what}</th>
                <th scope="col" class="n">
                  {later.pouring.one}
                </th>
                <th scope="col" class="n">
                  {later.pouring.all}
                </th>
              </tr>
            </thead>
            <tbody>
              {answer.batch.map((it, i) => (
                <tr key={i}>
                  <th scope="row">{it.name}</th>
                  <td class="n">{ml(it.one_ml)}</td>
                  <td class={`n ${css.all}`}>{ml(it.ml)}</td>
                </tr>
              ))}
            </tbody>
          </table>
          <p class="quiet">{later.pouring.before}</p>
        </section>
      </div>
      <div>
        <section class="part">
          <h2>{later.pouring.own}</h2>
          <ol class={servingCss.codes} data-testid="codes">
            {placed.map(({ id, code, pos }) => {
              const key = answer.key.find((it) => it.code === code);
              const own = ownLines(key?.lines ?? [], answer.batch);
              return (
                <li key={id}>
                  <p class={servingCss.coded}>
                    <b>{code}</b>
                    {answer.sight !== 'half' && <span class="quiet">{later.pouring.place(pos)}</span>}
                  </p>
                  <ul>
                    {own.length === 0 && <li class="quiet">{later.pouring.nothing}</li>}
                    {own.map((line, i) => (
                      <li key={i} class={servingCss.amount}>
                        <span>{line.name}</span>
                        <span class={css.all}>{ml(line.ml)}</span>
                      </li>
                    ))}
                  </ul>
                </li>
              );
            })}
          </ol>
          <div class="btns unprinted">
            <button type="button" class="btn" onClick={() => print()}>
              {later.pouring.print}
            </button>
          </div>
        </section>
      </div>
    </div>
  );
}

/** A first sip of the benchmark, in sight, if wanted: it goes on record like any other. */
function Warm({ comparison }: { comparison: Id }) {
  const [open, setOpen] = useState(false);
  return (
    <details class={whyCss.why} onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>{later.pouring.warm}</summary>
      <p class={servingCss.told}>{later.pouring.warmText}</p>
      {open && <WarmOf comparison={comparison} />}
    </details>
  );
}

function WarmOf({ comparison }: { comparison: Id }) {
  const { answer } = useAnswer({ q: 'comparison', id: comparison });
  return answer ? <Sip spec={answer.base} /> : null;
}

const sipMl = 10;

function Sip({ spec }: { spec: Id }) {
  const { answer } = useAnswer({ q: 'spec', id: spec });
  if (!answer) return null;
  const whole = answer.balance.after.volume_ml.v;
  // Of a glass without a volume a sip is taken to be a tenth.
  const share_bp = whole === null ? 1000 : Math.min(10_000, Math.max(1, Math.round((sipMl / whole) * 10_000)));
  return (
    <Once
      control={`sip ${spec}`}
      class="btn"
      act={() =>
        save({ do: 'pour', id: newId(), spec, share_bp, about: true }, later.pouring.warmSaved, (done) => ({
          do: 'delete',
          id: done.made,
        }))
      }
    >
      {later.pouring.warmSip}
    </Once>
  );
}
