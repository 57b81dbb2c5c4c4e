import { useEffect, useId, useRef, useState } from 'preact/hooks';
import type { ComparisonAnswer } from '../../../shared/core.ts';
import { ask, useAnswer } from '../../core-client.ts';
import { decimal } from '../../format.ts';
import { Frame } from '../../frame.tsx';
import { newId } from '../../ids.ts';
import { type Draft, useDraft } from '../../parts/draft.ts';
import { Medical } from '../../parts/medical.tsx';
import { Once } from '../../parts/once.tsx';
import { notSaved, save } from '../../parts/saved.tsx';
import { Stepper } from '../../parts/stepper.tsx';
import { Waiting } from '../../parts/waiting.tsx';
import { go, type Params } from '../../router.ts';
import { Mark } from '../../state-mark.tsx';
import { later, words } from '../../words.ts';
import { Seats } from './seats.tsx';
import { Sums } from './sums.tsx';
import {
  alike,
  type Asked,
  asked,
  fewestGlasses,
  mostGlasses,
  type Seat,
  seatsOf,
  type Sight,
  sights,
  sizeOf,
  stepped,
} from './planned.ts';
import * as alertCss from '../../parts/alert.module.css';
import * as emptyCss from '../../parts/empty.module.css';
import * as stepperCss from '../../parts/stepper.module.css';
import * as tickboxCss from '../../parts/tickbox.module.css';
import * as planningCss from './planning.module.css';

const newSeed = () => String(crypto.getRandomValues(new Uint32Array(1))[0]);
const first = (): Asked => ({ glasses: 4, size: '20', sight: 'blind', seed: newSeed(), seats: null });

/** /side/<id>/next: which glasses to set beside each other, why these, and what they come to. */
export function Next({ params }: { params: Params }) {
  const id = params.id ?? '';
  const { answer, slow, fault, refusal } = useAnswer({ q: 'comparison', id });
  const draft = useDraft<Asked>(`next.${id}`, first, asked);
  const there = answer?.flights.find((it) => it.state !== 'ended');
  if (answer && draft.value !== null && !there && !refusal)
    return <Plan answer={answer} draft={draft} now={draft.value} />;
  return (
    <Frame
      title={later.planning.title}
      away={`/side/${id}`}
      {...(there ? { act: { label: later.planning.toFlight, href: `/flight/${there.id}` } } : {})}
    >
      {refusal ? (
        <p role="alert">{words.notThere}</p>
      ) : there ? (
        <There flight={there} />
      ) : (
        <Waiting slow={slow} fault={fault} />
      )}
    </Frame>
  );
}

/** One flight at a time: what is set up already comes before another plan. */
function There({ flight: { id, state, seats, scored } }: { flight: ComparisonAnswer['flights'][number] }) {
  return (
    <div class={emptyCss.empty}>
      <p class="name">{later.planning.there[state === 'running' ? 'running' : 'planned']}</p>
      <p>{later.planning.thereText(seats, scored)}</p>
      {state === 'planned' && (
        <Once
          control={`delete ${id}`}
          class="btn"
          act={() => save({ do: 'delete', id }, later.planning.dropped, () => ({ do: 'restore', id }))}
        >
          {later.planning.drop}
        </Once>
      )}
    </div>
  );
}

interface PlanProps {
  answer: ComparisonAnswer;
  draft: Draft<Asked>;
  now: Asked;
}

function Plan({ answer: comparison, draft, now }: PlanProps) {
  const [made] = useState(newId); // one flight, however often it is sent
  const [busy, setBusy] = useState(false);
  const [told, setTold] = useState('');
  const size = sizeOf(now.size);
  const pour_ul = useRef(size ?? 20_000);
  if (size !== null) pour_ul.current = size;
  const question = {
    q: 'plan' as const,
    id: comparison.id,
    glasses: now.glasses,
    pour_ul: pour_ul.current,
    seed: now.seed,
  };
  const {
    answer: plan,
    behind,
    slow,
    fault,
    refusal,
  } = useAnswer({ ...question, ...(now.seats ? { seats: now.seats.map(({ picks }) => picks) } : {}) });
  // What was changed by hand may name what is no candidate any more: then the plan is made anew.
  const stale = refusal?.code === 'bad_picks' && now.seats !== null;
  useEffect(() => {
    if (stale) draft.set({ ...now, seats: null });
  }, [stale]);
  const set = (part: Partial<Asked>) => draft.set({ ...now, ...part });
  const seats = plan ? seatsOf(plan, now.seats, comparison.findings) : [];

  const draw = async () => {
    const seed = newSeed();
    const next = await ask({ ...question, seed });
    setTold(alike(next.seats, seats) ? later.planning.drawnSame : later.planning.drawn);
    set({ seed, seats: null });
  };
  const begin = async () => {
    if (busy) return;
    setBusy(true);
    const done = await save(
      {
        do: 'flight',
        id: made,
        comparison: comparison.id,
        pour_ul: question.pour_ul,
        seed: now.seed,
        sight: now.sight,
        seats: (now.seats ?? seats).map(({ picks, why }) => ({ picks, why })),
      },
      later.planning.saved,
      (it) => ({ do: 'delete', id: it.made }),
    );
    setBusy(false);
    if (!done) return;
    draft.drop();
    go(`/flight/${done.made}`, true);
  };

  const none = refusal?.code === 'too_few_pairings';
  const many = refusal?.code === 'too_many_pairings';
  const open = plan && !refusal && !plan.quiet && plan.fits && size !== null;
  return (
    <Frame
      title={later.planning.title}
      away={`/side/${comparison.id}`}
      {...(comparison.name || comparison.drink_name ? { sub: comparison.name || comparison.drink_name } : {})}
      {...(none
        ? { act: { label: later.planning.toAdd, href: `/side/${comparison.id}/add` } }
        : many || plan?.quiet
          ? { act: { label: later.planning.toComparison, href: `/side/${comparison.id}` } }
          : open
            ? { act: { label: later.planning.save, onClick: () => begin().catch(notSaved), disabled: busy || behind } }
            : {})}
    >
      {none ? (
        <p>{later.planning.tooFew}</p>
      ) : many ? (
        <p>{later.planning.tooMany}</p>
      ) : plan?.quiet ? (
        <p>{later.planning.quiet}</p>
      ) : (
        <div class="panes">
          <div>
            {plan?.heavy && <Medical />}
            <Asking now={now} set={set} bad={size === null} short={plan && !now.seats ? plan.seats.length : null} />
            {refusal && !stale ? (
              <p role="alert">{refusal.text}</p>
            ) : !plan ? (
              <Waiting slow={slow} fault={fault} />
            ) : (
              <Seats
                comparison={comparison}
                seats={seats}
                changed={now.seats !== null}
                told={told}
                onChange={(to: Seat[] | null, text: string) => {
                  setTold(text);
                  set({ seats: to });
                }}
                onDraw={() => draw().catch(notSaved)}
              />
            )}
          </div>
          <div>
            {plan && !refusal && size !== null && <Sums plan={plan} base={comparison.base} comparison={comparison} />}
          </div>
        </div>
      )}
    </Frame>
  );
}

interface AskingProps {
  now: Asked;
  set: (part: Partial<Asked>) => void;
  bad: boolean;
  /** So many glasses came of it; null when they were chosen by hand. */
  short: number | null;
}

/** How many glasses of what size the person wants, and who knows what is in them. */
function Asking({ now, set, bad, short }: AskingProps) {
  return (
    <>
      <div class={planningCss.asked}>
        <section class="part first">
          <h2>{later.planning.glasses}</h2>
          {now.seats ? (
            <p class={planningCss.hand}>{later.planning.asChanged(now.seats.length)}</p>
          ) : (
            <Stepper
              label={later.planning.glasses}
              less={later.planning.fewer}
              more={later.planning.more}
              value={now.glasses}
              low={fewestGlasses}
              high={mostGlasses}
              by={1}
              onChange={(glasses) => set({ glasses })}
              text={decimal(now.glasses, 0)}
              spoken={later.planning.glassesCount(now.glasses)}
              {...(short !== null && short < now.glasses ? { detail: later.planning.onlySo(short) } : {})}
            />
          )}
        </section>
        <Size text={now.size} bad={bad} onInput={(text) => set({ size: text })} />
      </div>
      <div class="part" role="radiogroup" aria-labelledby="sight">
        <h2 id="sight">{later.planning.sight}</h2>
        {sights.map((it: Sight) => (
          <label key={it} class={tickboxCss.tickbox}>
            <input type="radio" name="sight" checked={now.sight === it} onChange={() => set({ sight: it })} />
            <span>{later.planning.sights[it]}</span>
          </label>
        ))}
        <p class="quiet" role="status">
          {later.planning.sightHelp[now.sight]}
        </p>
      </div>
    </>
  );
}

/** Typed, or in steps of five. */
function Size({ text, bad, onInput }: { text: string; bad: boolean; onInput: (text: string) => void }) {
  const id = useId();
  return (
    <section class="part first">
      <h2>
        <label for={id}>{later.planning.size}</label>
      </h2>
      <div class={stepperCss.step} data-bad={bad ? '' : undefined}>
        <button type="button" aria-label={later.planning.smaller} onClick={() => onInput(stepped(text, -1))}>
          −
        </button>
        <div>
          <input
            id={id}
            class={`fig ${planningCss.typein}`}
            value={text}
            inputMode="decimal"
            autocomplete="off"
            aria-invalid={bad ? 'true' : undefined}
            aria-describedby={bad ? `${id}-e` : undefined}
            onInput={(event) => onInput(event.currentTarget.value)}
          />
        </div>
        <button type="button" aria-label={later.planning.larger} onClick={() => onInput(stepped(text, 1))}>
          +
        </button>
      </div>
      {bad && (
        <p class={alertCss.err} id={`${id}-e`} role="alert">
          <Mark shape="triangle" />
          <span>{later.planning.needSize(text)}</span>
        </p>
      )}
    </section>
  );
}
