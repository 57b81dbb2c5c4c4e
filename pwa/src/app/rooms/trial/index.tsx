import { useState } from 'preact/hooks';
import type { ComparisonAnswer, SpecView, TrialAnswer } from '../../../shared/core.ts';
import { act, useAnswer } from '../../core-client.ts';
import { alcohol, decimal, listOf, ml } from '../../format.ts';
import { type Act, Frame } from '../../frame.tsx';
import { newId } from '../../ids.ts';
import { Alert } from '../../parts/alert.tsx';
import { type Draft, useDraft } from '../../parts/draft.ts';
import { Select } from '../../parts/field.tsx';
import { notSaved, save } from '../../parts/saved.tsx';
import { Waiting } from '../../parts/waiting.tsx';
import type { Params } from '../../router.ts';
import { Mark } from '../../state-mark.tsx';
import { later, words } from '../../words.ts';
import { useAwake } from '../../parts/awake.ts';
import { useHidden } from '../../parts/hidden.ts';
import { named } from '../../parts/pairing.ts';
import {
  amountsOf,
  drunkOf,
  firstTwo,
  glassesOf,
  kept,
  namesIn,
  pickOf,
  picksIn,
  picksOf,
  shares,
  sizes,
  type Sort,
  sorts,
  type Trials,
} from './form.ts';
import * as alertCss from '../../parts/alert.module.css';
import * as secondCss from '../../parts/second.module.css';
import * as servingCss from '../../parts/serving.module.css';
import * as css from './style.module.css';

/** /side/<id>/trial: two pairings set against each other again and again, without a score. */
export function Trial({ params }: { params: Params }) {
  const id = params.id ?? '';
  const { answer, slow, fault, refusal } = useAnswer({ q: 'comparison', id });
  const { answer: keeper } = useAnswer({ q: 'keeper' });
  if (answer && keeper && answer.pairings > 1 && !keeper.settings.quiet) return <Room answer={answer} />;
  return (
    <Frame title={later.trials.title} away={`/side/${id}`}>
      {refusal ? (
        <p role="alert">{words.notThere}</p>
      ) : !answer || !keeper ? (
        <Waiting slow={slow} fault={fault} />
      ) : (
        <p>{keeper.settings.quiet ? later.trials.quiet : later.trials.twice}</p>
      )}
    </Frame>
  );
}

const fresh = () => ({ trial: newId(), pour: newId() });

function Room({ answer }: { answer: ComparisonAnswer }) {
  const draft = useDraft<Trials>(
    `trial.${answer.id}`,
    () => ({
      ...firstTwo(answer),
      sort: 'paired',
      ml: 15,
      share: 10_000,
      seed: String(crypto.getRandomValues(new BigUint64Array(1))[0]),
      made: [],
      ids: fresh(),
      poured: false,
      begun: false,
    }),
    kept,
  );
  if (draft.value === null)
    return (
      <Frame title={later.trials.title} away={`/side/${answer.id}`}>
        {null}
      </Frame>
    );
  return draft.value.begun ? (
    <Trying answer={answer} form={draft.value} draft={draft} />
  ) : (
    <Choosing answer={answer} form={draft.value} draft={draft} />
  );
}

interface Props {
  answer: ComparisonAnswer;
  form: Trials;
  draft: Draft<Trials>;
}

function Choosing({ answer, form, draft }: Props) {
  const set = (part: Partial<Trials>) => draft.set({ ...form, ...part });
  const differ = form.a !== form.b;
  const { answer: trial, behind } = useAnswer({ q: 'trial', of: form.sort, n: 0, seed: form.seed });
  return (
    <Frame
      title={later.trials.title}
      sub={answer.name || answer.drink_name}
      away={`/side/${answer.id}`}
      act={{
        label: later.trials.begin,
        disabled: !differ,
        onClick: () => set({ begun: true, poured: false }),
      }}
    >
      <div class="panes even">
        <div>
          <section class="part first">
            <h2>{later.trials.sub}</h2>
            <Select
              label={later.trials.sort}
              value={form.sort}
              onChange={(sort) => set({ sort })}
              options={sorts.map((it) => [it, later.trials.sorts[it]])}
            />
            {trial && !behind && (
              <p class="quiet">
                {later.trials.fact[form.sort](
                  trial.fewest,
                  listOf(trial.needed.map(({ agree, of }) => later.trials.needed(agree, of))),
                )}
              </p>
            )}
          </section>
          <Side answer={answer} label={later.trials.a} picks={form.a} onChange={(a) => set({ a })} />
          <Side answer={answer} label={later.trials.b} picks={form.b} onChange={(b) => set({ b })} />
          {!differ && <Alert text={later.trials.twice} />}
        </div>
        <div>
          {' '}
          <section class="part">
            <h2>{later.trials.record}</h2>
            <Select
              label={later.trials.size}
              value={sizes.find((it) => Number(it) === form.ml) ?? '15'}
              onChange={(size) => set({ ml: Number(size) })}
              options={sizes.map((it) => [it, ml(Number(it))])}
            />
            <Select
              label={later.trials.drunk}
              value={String(form.share)}
              onChange={(share) => set({ share: Number(share) })}
              options={later.tasting.shares
                .filter(([part]) => shares.some((it) => it === part))
                .map(([part, text]) => [String(part), text])}
            />
            <p class="quiet">{later.trials.counted(glassesOf(form.sort), ml((form.ml * form.share) / 10_000))}</p>
            <p class="quiet key">{later.trials.sees}</p>
          </section>
        </div>
      </div>
    </Frame>
  );
}

/** One of the two, by a choice for each swap. */
function Side({
  answer: { swaps },
  label,
  picks,
  onChange,
}: {
  answer: ComparisonAnswer;
  label: string;
  picks: string;
  onChange: (picks: string) => void;
}) {
  const chosen = picksIn(swaps, picks);
  return (
    <fieldset class={`part ${css.oneof}`}>
      <legend>{label}</legend>
      {swaps.map((swap, i) => (
        <Select
          key={swap.id}
          label={swap.addition ? later.trials.added : later.trials.inPlace(swap.line_name)}
          value={chosen[i] ?? ''}
          onChange={(pick) =>
            onChange(
              picksOf(
                swaps,
                chosen.map((it, j) => (j === i ? pick : it)),
              ),
            )
          }
          options={swap.effects.map((it) => [pickOf(swap, it), it.name === '' ? later.trials.nothing : it.name])}
        />
      ))}
    </fieldset>
  );
}

/** A pairing's own spec where it was made before, else the benchmark's: what it is made of, and how strong it is. */
function useGlass(answer: ComparisonAnswer, picks: string): { view: SpecView; own: boolean } | null {
  const spec = answer.findings.find((it) => it.picks === picks)?.spec ?? null;
  const { answer: view } = useAnswer({ q: 'spec', id: spec ?? answer.base });
  return view ? { view, own: spec !== null } : null;
}

function Trying({ answer, form, draft }: Props) {
  useAwake();
  const made = { a: useGlass(answer, form.a), b: useGlass(answer, form.b) };
  const [busy, setBusy] = useState(false);
  const [open, setOpen] = useHidden();
  const inSight = form.sort === 'preferred';
  const shown = open || inSight;
  const n = form.made.length;
  const { answer: trial, behind } = useAnswer({ q: 'trial', of: form.sort, n, seed: form.seed });
  const glasses = behind ? undefined : trial?.glasses;
  const { plan, refused } = useRoomFor(answer, form);
  const names = { a: named(namesIn(answer.swaps, form.a)), b: named(namesIn(answer.swaps, form.b)) };

  const choose = async (outcome: string) => {
    const { a, b } = made;
    if (busy || !glasses || a === null || b === null) return;
    setBusy(true);
    const drunk = drunkOf(
      glasses.map(({ of }) => ({ ml: form.ml, abv_percent: (of === 'a' ? a : b).view.balance.after.abv_percent.v })),
      form.share,
    );
    // What was drunk first: it counts, whatever becomes of the choice. Both ids are kept, so a second try makes neither twice.
    const counted = await act({
      do: 'plain',
      id: form.ids.pour,
      name: later.trials.pour(answer.drink_name, glasses.length),
      ...drunk,
      about: true,
    }).then(
      () => true,
      () => (notSaved(), false),
    );
    const done =
      counted &&
      (await save(
        { do: 'trial', id: form.ids.trial, comparison: answer.id, sort: form.sort, a: form.a, b: form.b, outcome },
        later.trials.kept(n + 1),
      ));
    setBusy(false);
    if (!done) return;
    draft.set({ ...form, made: [...form.made, form.ids], ids: fresh(), poured: false });
  };
  const takeBack = async () => {
    const last = form.made.at(-1);
    if (!last || busy) return;
    if (!(await save({ do: 'delete', id: last.trial, also: [last.pour] }, later.trials.tookBack))) return;
    draft.set({ ...form, made: form.made.slice(0, -1), ids: fresh(), poured: true });
  };
  const poured = () => {
    setOpen(false);
    draft.set({ ...form, poured: true });
  };

  const sheet: { act?: Act } =
    form.poured || !plan?.fits || !glasses
      ? {}
      : shown
        ? { act: { label: inSight ? later.trials.poured : later.trials.hide, onClick: poured } }
        : { act: { label: later.trials.show, onClick: () => setOpen(true) } };
  return (
    <Frame title={later.trials.title} sub={later.trials.done(n)} away={`/side/${answer.id}`} {...sheet}>
      <div class="narrow">
        <section class="part first">
          <h2>{later.trials.no(n + 1)}</h2>
          {refused !== null && !form.poured ? (
            <p role="alert">{refused}</p>
          ) : !glasses ? null : form.poured ? (
            <Ask
              sort={form.sort}
              glasses={glasses}
              names={names}
              disabled={busy || made.a === null || made.b === null}
              onChoose={choose}
            />
          ) : !plan ? null : !plan.fits ? (
            <p class={`${alertCss.err} ${servingCss.told} ${servingCss.alarm}`} role="alert">
              <Mark shape="triangle" />
              <span>
                {plan.unknown.length > 0
                  ? later.trials.unknown(listOf(plan.unknown))
                  : later.trials.limit(alcohol(plan.today), decimal(plan.limit_drinks, 1, 0))}
              </span>
            </p>
          ) : shown ? (
            <>
              {(['a', 'b'] as const).map((side) => {
                const glass = made[side];
                const n = glasses.filter(({ of }) => of === side).length;
                if (glass === null) return null;
                return (
                  <section key={side} class="part">
                    <h2>{later.trials.make(n, ml(form.ml))}</h2>
                    <p class="name">{names[side]}</p>
                    <ul>
                      {amountsOf(glass.view, answer.swaps, glass.own ? null : form[side], n * form.ml).map((it, i) => (
                        <li key={i} class={servingCss.amount}>
                          <span>{it.name}</span>
                          <span>{it.ml === null ? later.trials.inProportion : ml(it.ml)}</span>
                        </li>
                      ))}
                    </ul>
                  </section>
                );
              })}
              {!inSight && (
                <section class="part">
                  <h2>{later.trials.left}</h2>
                  <ol class={servingCss.codes} data-testid="codes">
                    {glasses.map(({ code, of }) => (
                      <li key={code}>
                        <p class={servingCss.coded}>
                          <b>{code}</b>
                          <span>{names[of]}</span>
                        </p>
                      </li>
                    ))}
                  </ol>
                </section>
              )}
            </>
          ) : (
            <>
              <p class={servingCss.told}>{later.trials.pourer}</p>
              <button type="button" class={secondCss.second} onClick={poured}>
                <b>{later.trials.poured}</b>
              </button>
            </>
          )}
        </section>
        {!(open && !form.poured) && (
          <section class="part">
            <h2>{later.trials.sees}</h2>
            <div class="btns">
              <a class="btn" href={`/side/${answer.id}`}>
                {later.trials.stop}
              </a>
              {n > 0 && (
                <button type="button" class="btn" onClick={() => void takeBack()}>
                  {later.trials.back}
                </button>
              )}
              <button type="button" class="btn" onClick={draft.drop}>
                {later.trials.another}
              </button>
            </div>
          </section>
        )}
      </div>
    </Frame>
  );
}

/** Whether one more trial keeps within the day: as much as its glasses hold, shared out over the benchmark and the two. */
function useRoomFor(answer: ComparisonAnswer, form: Trials) {
  const own = picksOf(answer.swaps, picksIn(answer.swaps, '')); // a plan always holds the benchmark
  const seats = [...new Set([own, form.a, form.b])];
  const all = (form.ml * glassesOf(form.sort) * form.share) / 10_000;
  const { answer: plan, refusal } = useAnswer({
    q: 'plan',
    id: answer.id,
    glasses: seats.length,
    pour_ul: Math.max(5000, Math.round((all * 1000) / seats.length)),
    seed: '1',
    seats,
  });
  return { plan, refused: refusal?.text ?? null };
}

/** Which of the glasses: by code where they are hidden, by name where they are not. */
function Ask({
  sort,
  glasses,
  names,
  disabled,
  onChoose,
}: {
  sort: Sort;
  glasses: TrialAnswer['glasses'];
  names: Record<'a' | 'b', string>;
  disabled: boolean;
  onChoose: (outcome: string) => Promise<void>;
}) {
  const button = (key: string | number, label: string, outcome: string) => (
    <button
      key={key}
      type="button"
      class={`${secondCss.second} ${css.ballot}`}
      data-testid="ballot"
      aria-disabled={disabled}
      onClick={() => void onChoose(outcome)}
    >
      <b>{label}</b>
    </button>
  );
  return (
    <>
      <p class={servingCss.told}>{later.trials.ask[sort]}</p>
      <div class={css.ballots}>
        {sort === 'preferred' ? (
          <>
            {button('a', names.a, 'a')}
            {button('tie', later.trials.tie, 'tie')}
            {button('b', names.b, 'b')}
          </>
        ) : (
          glasses.map(({ code, outcome }) => button(code, String(code), outcome))
        )}
      </div>
    </>
  );
}
