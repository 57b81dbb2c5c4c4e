import { useEffect, useRef, useState } from 'preact/hooks';
import type { ComparisonAnswer, Effect, Id, Intent, SpecView } from '../../../shared/core.ts';
import { act, RefusedError, useAnswer } from '../../core-client.ts';
import { tight } from '../../format.ts';
import { Frame } from '../../frame.tsx';
import { newId } from '../../ids.ts';
import { type Draft, useDraft } from '../../parts/draft.ts';
import { Field } from '../../parts/field.tsx';
import { notSaved, save, saved } from '../../parts/saved.tsx';
import { Waiting } from '../../parts/waiting.tsx';
import { go, type Params } from '../../router.ts';
import { later, words } from '../../words.ts';
import { touchFault } from './begin.tsx';
import { Candidates, Pasting, Wrong } from './candidates.tsx';
import { addingOf, blank, type Faults, type Form, kept, pairingFault, placeOf } from './read.ts';
import * as whyCss from '../../parts/why.module.css';
import * as setupCss from './setup.module.css';

/** /side/<id>/add: more candidates for the lines of a comparison. */
export function Add({ params }: { params: Params }) {
  const id = params.id ?? '';
  const { answer, slow, fault, refusal } = useAnswer({ q: 'comparison', id });
  const draft = useDraft<Form>(`add.${id}`, blank, kept);
  const [count, setCount] = useState(0);
  const form = 'add-form';
  const open = answer && answer.swaps.length > 0 && draft.value !== null;
  return (
    <Frame
      title={later.candidates.title}
      away={`/side/${id}`}
      {...(answer ? { sub: tight(answer.name || answer.drink_name) } : {})}
      {...(open ? { act: { label: later.candidates.save(count), form } } : {})}
    >
      {refusal ? (
        <p role="alert">{words.notThere}</p>
      ) : !answer || draft.value === null ? (
        <Waiting slow={slow} fault={fault} />
      ) : answer.swaps.length === 0 ? (
        <p>{later.candidates.noSwaps}</p>
      ) : (
        <Adding id={form} answer={answer} draft={draft} form={draft.value} onCount={setCount} />
      )}
    </Frame>
  );
}

interface AddingProps {
  id: string;
  answer: ComparisonAnswer;
  draft: Draft<Form>;
  form: Form;
  onCount: (n: number) => void;
}

function Adding({ id, answer, draft, form, onCount }: AddingProps) {
  const [wrong, setWrong] = useState<Faults>({});
  const [busy, setBusy] = useState(false);
  const { answer: shelf } = useAnswer({ q: 'bottles' });
  const { answer: base } = useAnswer({ q: 'spec', id: answer.base });
  const whole = useRef<HTMLFormElement>(null);
  useEffect(() => {
    if (Object.values(wrong).some(Boolean))
      whole.current?.querySelector<HTMLElement>('[aria-invalid="true"], textarea')?.focus();
  }, [wrong]);
  const bottles = shelf?.rows ?? [];
  const called = new Map(bottles.map(({ ingredient, name }) => [ingredient ?? '', name]));
  const swaps = answer.swaps.filter((it) => !it.addition);
  const addition = answer.swaps.find((it) => it.addition);
  const n = addingOf(form, answer.swaps, () => '', called).length;
  useEffect(() => onCount(n), [n]);
  const set = (part: Partial<Form>) => {
    setWrong({});
    draft.set({ ...form, ...part });
  };
  const names = swaps.map((it) => it.line_name);

  const add = async () => {
    const faults: Faults = {};
    const touches = addition ? await touchFault(form.touches) : '';
    if (touches !== '') faults.touches = touches;
    const pairings = swaps.length > 1 ? pairingFault(form.pairings, names) : '';
    if (pairings !== '') faults.pairings = pairings;
    if (n === 0 && touches === '' && pairings === '') faults.candidates = later.candidates.need;
    setWrong(faults);
    if (Object.values(faults).some(Boolean) || busy) return;
    setBusy(true);
    const done = await each(addingOf(form, answer.swaps, newId, called));
    setBusy(false);
    if (!done) return;
    draft.drop();
    go(`/side/${answer.id}`, true);
  };

  return (
    <form
      id={id}
      ref={whole}
      noValidate
      class={setupCss.morecandidates}
      onSubmit={(event) => {
        event.preventDefault();
        add().catch(notSaved);
      }}
    >
      <Wrong id="add-wrong" text={wrong.candidates} />
      {swaps.map((swap) => (
        <Candidates
          key={swap.id}
          title={later.candidates.for(tight(lineOf(base, swap.line_name)?.typed ?? swap.line_name))}
          place={placeOf(swap)}
          spec={answer.base}
          line={lineOf(base, swap.line_name)?.id ?? null}
          form={form}
          set={set}
          bottles={bottles}
        >
          <There effects={swap.effects} />
        </Candidates>
      ))}
      {addition && (
        <section class="part">
          <h2>{later.candidates.forAddition}</h2>
          <There effects={addition.effects} />
          <Field
            label={later.comparing.touches}
            rows={3}
            value={form.touches}
            onInput={(touches) => set({ touches })}
            error={wrong.touches}
            help={later.comparing.touchesHelp}
          />
        </section>
      )}
      {swaps.length > 1 && <Pasting names={names} form={form} set={set} error={wrong.pairings} />}
    </form>
  );
}

/** The line of the base that a swap stands for; nothing until it is known. */
const lineOf = (base: SpecView | null, name: string): SpecView['lines'][number] | undefined =>
  base?.lines.find((it) => it.name.toLowerCase() === name.toLowerCase());

/** One after another; the way back takes out what is new, not what was there before under another spelling. */
async function each(intents: readonly Extract<Intent, { do: 'candidate' }>[]): Promise<boolean> {
  const made: Id[] = [];
  const undo = (): Intent | undefined => {
    const [first, ...also] = made;
    return first === undefined ? undefined : { do: 'delete', id: first, also };
  };
  for (const [i, intent] of intents.entries()) {
    try {
      const done = await act(intent);
      if (done.made === intent.id) made.push(done.made);
    } catch (error) {
      if (!(error instanceof RefusedError)) throw error;
      saved(later.candidates.some(i, intents.length, error.refusal.text), undo());
      return false;
    }
  }
  saved(later.candidates.saved(intents.length), undo());
  return true;
}

/** What is there already, the benchmark's own first; what was benched can come back. */
function There({ effects }: { effects: readonly Effect[] }) {
  const [open, setOpen] = useState(effects.length < 8);
  return (
    <details class={whyCss.why} open={open} onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>{later.candidates.there(effects.length)}</summary>
      <ul class={`rows ${setupCss.thereabouts}`}>
        {effects.map((it) => (
          <li key={it.candidate} class="row">
            <span>
              {tight(it.name) || later.candidates.nothing}{' '}
              <span class="quiet">
                {it.benched ? later.candidates.benched : it.benchmark && it.name ? later.candidates.own : ''}
              </span>
            </span>
            {it.benched && (
              <button
                type="button"
                class="link"
                aria-label={later.candidates.backOf(it.name)}
                onClick={() => void back(it)}
              >
                {later.candidates.back}
              </button>
            )}
          </li>
        ))}
      </ul>
    </details>
  );
}

const back = ({ candidate: id, name }: Effect) =>
  save({ do: 'edit', id, kind: 'candidate', set: { benched: false } }, later.candidates.isBack(tight(name)), () => ({
    do: 'edit',
    id,
    kind: 'candidate',
    set: { benched: true },
  }));
