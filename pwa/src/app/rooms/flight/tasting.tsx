import type { ComponentChildren } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import type { FlightAnswer, Id } from '../../../shared/core.ts';
import { useAnswer } from '../../core-client.ts';
import { alcohol, clock, decimal, listOf, ml, score } from '../../format.ts';
import { type Act, Frame } from '../../frame.tsx';
import { newId } from '../../ids.ts';
import { Chips } from '../../parts/chips.tsx';
import { type Draft, useDraft } from '../../parts/draft.ts';
import { Field } from '../../parts/field.tsx';
import { ScoreStepper } from '../../parts/glass-steps.tsx';
import { save } from '../../parts/saved.tsx';
import { Mark } from '../../state-mark.tsx';
import { later, words } from '../../words.ts';
import { named } from '../../parts/pairing.ts';
import { useAwake } from '../../parts/awake.ts';
import { SheetAgain } from './pouring.tsx';
import { byPlace, type Hand, isScored, keptHand, restUntil, type Seat, seatAt, still } from './reckon.ts';
import * as alertCss from '../../parts/alert.module.css';
import * as chipsCss from '../../parts/chips.module.css';
import * as servingCss from '../../parts/serving.module.css';
import * as css from './style.module.css';
import * as stateMarkCss from '../../state-mark.module.css';

interface Flown {
  answer: FlightAnswer;
  hand: Hand;
  setHand: (hand: Hand) => void;
  saved: ReadonlySet<Id>;
  setSaved: (saved: ReadonlySet<Id>) => void;
}

/** What a glass goes by: its code, or its place while the codes are out of sight. */
const called = (answer: FlightAnswer, seat: Seat): string =>
  byPlace(answer) ? later.tasting.glass(seat.pos) : String(seat.code);

/** One glass at a time. Where the hand is, and what it has begun to write, survives a reload. */
export function Tasting({ answer, onEarly }: { answer: FlightAnswer; onEarly: Early }) {
  useAwake();
  const draft = useDraft<Hand>(`flight.${answer.id}`, () => still, keptHand);
  const [saved, setSaved] = useState<ReadonlySet<Id>>(new Set());
  if (draft.value === null) return <Page answer={answer} />;
  const flown: Flown = { answer, hand: draft.value, setHand: draft.set, saved, setSaved };
  const seat = seatAt(answer.seats, flown.hand, saved);
  if (seat === null || (!answer.fits && flown.hand.at === null)) return <Rest flown={flown} onEarly={onEarly} />;
  return seat.pour === null ? (
    <Glass key={seat.id} flown={flown} seat={seat} share={10_000} onEarly={onEarly} />
  ) : (
    <Again key={seat.id} flown={flown} seat={seat} pour={seat.pour} onEarly={onEarly} />
  );
}

function Page({ answer, act, children }: { answer: FlightAnswer; act?: Act; children?: ComponentChildren }) {
  return (
    <Frame
      title={answer.name}
      sub={later.tasting.sub(answer.seats.length, ml(answer.pour_ml))}
      away={`/side/${answer.comparison}`}
      {...(act ? { act } : {})}
    >
      {children}
    </Frame>
  );
}

/** Every glass of the flight with its state: the way on, back and past. */
function Glasses({ flown, now, scores = false }: { flown: Flown; now: Id | null; scores?: boolean }) {
  const { answer, hand, setHand, saved } = flown;
  return (
    <div class={css.flown} role="group" aria-label={later.tasting.all}>
      {answer.seats.map((seat) => {
        const done = isScored(seat, saved);
        const state = done ? 'scored' : hand.skipped.includes(seat.id) ? 'skipped' : 'open';
        const given = scores && seat.score_x10 !== null ? score(seat.score_x10) : null;
        const word = given ?? later.tasting.state[seat.id === now ? 'now' : state];
        const name = byPlace(answer) ? String(seat.pos) : String(seat.code);
        return (
          <button
            key={seat.id}
            type="button"
            class={css.glass}
            data-testid="glass"
            aria-pressed={seat.id === now}
            aria-label={later.tasting.named(called(answer, seat), later.tasting.state[state], given)}
            onClick={() => setHand({ at: seat.id, skipped: hand.skipped.filter((id) => id !== seat.id) })}
          >
            <b>{name}</b>
            <span class={`${stateMarkCss.state} ${css.howfar}`}>
              {done && given === null && <Mark shape="full" />}
              {word}
            </span>
          </button>
        );
      })}
    </div>
  );
}

/** At or above the limit nothing more is asked for. */
function Limit({ answer }: { answer: FlightAnswer }) {
  if (answer.fits) return null;
  return (
    <p class={`${alertCss.err} ${servingCss.told} ${servingCss.alarm}`} role="alert">
      <Mark shape="triangle" />
      <span>{later.tasting.limit(alcohol(answer.today), decimal(answer.limit_drinks, 1, 0))}</span>
    </p>
  );
}

type Early = (covered: boolean) => void;

/** Ended early, names are covered first: the newest answer may be here before the disk has said so. */
const end = async ({ id }: FlightAnswer, early: boolean, onEarly: Early): Promise<void> => {
  onEarly(early);
  const done = await save({ do: 'flight_state', id, state: 'end' }, later.tasting.ended, () => ({
    do: 'flight_state',
    id,
    state: 'resume',
  }));
  if (!done) onEarly(false);
};

/** No glass is up: all are scored, or passed over, or the limit is reached. */
function Rest({ flown, onEarly }: { flown: Flown; onEarly: Early }) {
  const { answer, saved } = flown;
  const open = answer.seats.filter((it) => !isScored(it, saved));
  const names = answer.sight === 'half' ? later.tasting.under : later.tasting.names;
  return (
    <Page
      answer={answer}
      act={{
        label: open.length > 0 || answer.sight === 'sighted' ? later.tasting.end : names,
        onClick: () => void end(answer, open.length > 0, onEarly),
      }}
    >
      <div class="narrow">
        <Limit answer={answer} />
        <section class="part first">
          <h2>
            {open.length === 0
              ? later.tasting.done
              : later.outcome.scored(answer.seats.length - open.length, answer.seats.length)}
          </h2>
          {answer.fits && (
            <p class={servingCss.told}>
              {open.length === 0
                ? answer.sight === 'sighted'
                  ? later.tasting.doneSeen
                  : later.tasting.doneThen
                : later.tasting.open(listOf(open.map((it) => called(answer, it))))}
            </p>
          )}
          {!answer.fits && open.length > 0 && <p class="quiet">{later.tasting.limitWrite}</p>}
          <Glasses flown={flown} now={null} scores={open.length === 0} />
        </section>
        <Besides answer={answer} />
      </div>
    </Page>
  );
}

/** What else can be done while a flight is on. */
function Besides({ answer, children }: { answer: FlightAnswer; children?: ComponentChildren }) {
  return (
    <section class={`part ${css.meanwhile}`}>
      <h2>{later.tasting.stop}</h2>
      <div class="btns">
        {children}
        <a class="btn" href={`/flight/${answer.id}/friends`}>
          {later.tasting.friends}
        </a>
        {answer.sight === 'blind' && <SheetAgain answer={answer} />}
      </div>
    </section>
  );
}

interface Form {
  x10: number | null;
  note: string;
  tags: readonly string[];
  share: number;
  /** The pour it becomes, so that saving it twice makes one. */
  pour: Id;
}

function kept(it: unknown): Form | null {
  if (typeof it !== 'object' || it === null) return null;
  const { x10, note, tags, share, pour } = it as Partial<Form>;
  if (typeof note !== 'string' || typeof share !== 'number' || typeof pour !== 'string' || !Array.isArray(tags))
    return null;
  return x10 === null || typeof x10 === 'number' ? { x10, note, tags, share, pour } : null;
}

/** A glass that is on record already: how much of it was drunk is asked of its pour. */
function Again(props: { flown: Flown; seat: Seat; pour: Id; onEarly: Early }) {
  const { answer } = useAnswer({ q: 'pour', id: props.pour });
  if (!answer) return <Page answer={props.flown.answer} />;
  return <Glass {...props} share={answer.pour.share_bp} />;
}

function Glass({ flown, seat, share, onEarly }: { flown: Flown; seat: Seat; share: number; onEarly: Early }) {
  const { answer, hand, setHand, saved, setSaved } = flown;
  const draft: Draft<Form> = useDraft<Form>(
    `taste.${seat.id}`,
    () => ({ x10: seat.score_x10, note: seat.note, tags: seat.tags, share, pour: newId() }),
    kept,
  );
  const [busy, setBusy] = useState(false);
  const form = draft.value;
  const name = called(answer, seat);
  const first = seat.pour === null;
  const others = answer.seats.filter((it) => it.id !== seat.id && !isScored(it, saved));
  const set = (part: Partial<Form>) => form && draft.set({ ...form, ...part });
  const leave = (skipped: readonly Id[]) => setHand({ at: null, skipped });
  const without = hand.skipped.filter((id) => id !== seat.id);

  const keep = async (x10: number | null) => {
    if (form === null || busy) return;
    setBusy(true);
    const done = await save(
      {
        do: 'taste',
        id: form.pour,
        seat: seat.id,
        score_x10: x10,
        note: form.note.trim(),
        tags: [...form.tags],
        share_bp: form.share,
      },
      later.tasting.saved(name),
    );
    setBusy(false);
    if (!done) return; // it stands in the form still
    draft.drop();
    setSaved(new Set([...saved, ...(x10 === null ? [] : [seat.id])]));
    leave(x10 === null ? [...without, seat.id] : without);
  };
  const takeOut = async () => {
    const id = seat.pour;
    if (id === null) return;
    const done = await save({ do: 'delete', id }, later.tasting.takenOut(name), () => ({ do: 'restore', id }));
    if (!done) return;
    draft.drop();
    setSaved(new Set([...saved].filter((it) => it !== seat.id)));
    leave([...without, seat.id]);
  };

  return (
    <Page
      answer={answer}
      {...(form === null
        ? {}
        : {
            act: {
              label: first ? later.tasting.keep : later.tasting.change,
              disabled: form.x10 === null || busy,
              onClick: () => void keep(form.x10),
            },
          })}
    >
      <Limit answer={answer} />
      {first && answer.fits && <Pause last={answer.last_ms} />}
      <Glasses flown={flown} now={seat.id} />
      <div class="panes even">
        <div>
          <section class="part first">
            <h2>{byPlace(answer) ? later.tasting.place : later.tasting.code}</h2>
            <p class="fig one" data-testid="glass-name">
              {name}
            </p>
            {seat.names.length > 0 && answer.sight === 'sighted' && <p class="name">{named(seat.names)}</p>}
          </section>
          {form && <ScoreStepper x10={form.x10} onChange={(x10) => set({ x10 })} />}
        </div>
        {form && (
          <div>
            <section class="part">
              <h2>{later.tasting.flavour}</h2>
              <Chips terms={answer.terms} chosen={form.tags} onChange={(tags) => set({ tags })} />
              <Field label={words.sheet.note} rows={2} value={form.note} onInput={(note) => set({ note })} />
            </section>
            <section class="part">
              <h2>{later.tasting.drunk}</h2>
              <div class={chipsCss.chips} role="group" aria-label={later.tasting.drunk}>
                {later.tasting.shares.map(([part, text]) => (
                  <button
                    key={part}
                    type="button"
                    class={chipsCss.chip}
                    aria-pressed={part === form.share}
                    onClick={() => set({ share: part })}
                  >
                    {text}
                  </button>
                ))}
              </div>
              <p class="quiet key">{later.tasting.counts}</p>
            </section>
            <div class="btns">
              <button type="button" class="btn" onClick={() => void keep(null)}>
                {later.tasting.unscored}
              </button>
              {first ? (
                others.length > 0 && (
                  <button type="button" class="btn" onClick={() => leave([...without, seat.id])}>
                    {later.tasting.skip}
                  </button>
                )
              ) : (
                <>
                  <button type="button" class="btn" onClick={() => (draft.drop(), leave(without))}>
                    {later.tasting.back}
                  </button>
                  <button type="button" class="btn" onClick={() => void takeOut()}>
                    {later.tasting.takeOut}
                  </button>
                </>
              )}
            </div>
          </div>
        )}
      </div>
      <Besides answer={answer}>
        <button
          type="button"
          class="btn"
          onClick={() => void end(answer, others.length > 0 || !isScored(seat, saved), onEarly)}
        >
          {later.tasting.end}
        </button>
      </Besides>
    </Page>
  );
}

/** Two to three minutes after the last glass; said, never waited for. */
function Pause({ last }: { last: number | null }) {
  const [now, setNow] = useState(() => Date.now());
  const until = restUntil(last, now);
  useEffect(() => {
    if (until === null) return;
    const timer = setTimeout(() => setNow(Date.now()), Math.max(250, until - Date.now()));
    return () => clearTimeout(timer);
  }, [until]);
  if (last === null) return null;
  if (until === null) return <p class={`quiet ${css.rest} ${css.water}`}>{later.tasting.water}</p>;
  const at = new Date(until);
  return <p class={css.rest}>{later.tasting.rest(clock(at.getHours() * 60 + at.getMinutes()))}</p>;
}
