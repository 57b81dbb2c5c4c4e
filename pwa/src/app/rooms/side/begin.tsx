import { useEffect, useRef, useState } from 'preact/hooks';
import type { ComparisonsAnswer } from '../../../shared/core.ts';
import { act, ask, RefusedError, useAnswer } from '../../core-client.ts';
import { tight } from '../../format.ts';
import { Frame } from '../../frame.tsx';
import { newId } from '../../ids.ts';
import { type Draft, useDraft } from '../../parts/draft.ts';
import { Empty } from '../../parts/empty.tsx';
import { Field, Select } from '../../parts/field.tsx';
import { HalfPoints } from '../../parts/glass-steps.tsx';
import { notSaved, saved } from '../../parts/saved.tsx';
import { Waiting } from '../../parts/waiting.tsx';
import { go } from '../../router.ts';
import { Mark } from '../../state-mark.tsx';
import { later, words } from '../../words.ts';
import { Candidates, Pasting, Wrong } from './candidates.tsx';
import {
  blank,
  compareOf,
  countsIn,
  type Faults,
  faultsOf,
  type Form,
  kept,
  mostSwaps,
  placesIn,
  product,
  rowsOf,
  ticked,
} from './read.ts';
import { topX10 } from './say.ts';
import * as tickboxCss from '../../parts/tickbox.module.css';
import * as toneCss from '../../parts/tone.module.css';
import * as setupCss from './setup.module.css';
import * as stateMarkCss from '../../state-mark.module.css';

/** /side/new: which drink, which of its lines, what may stand in them, and what the benchmark is worth. */
export function Begin() {
  const { answer, slow, fault, refusal } = useAnswer({ q: 'comparisons' });
  const draft = useDraft<Form>('compare', blank, kept);
  const [pairings, setPairings] = useState(0);
  const form = 'compare-form';
  const drinks = answer?.drinks ?? [];
  const began = drinks.length > 0 && draft.value !== null;
  return (
    <Frame
      title={later.comparing.begin}
      away="/side"
      {...(began
        ? { act: { label: later.comparing.saveCount(pairings), form } }
        : answer && drinks.length === 0
          ? { act: { label: later.side.toSpecs, href: '/specs' } }
          : {})}
    >
      {refusal ? (
        <p role="alert">{refusal.text}</p>
      ) : !answer || draft.value === null ? (
        <Waiting slow={slow} fault={fault} />
      ) : drinks.length === 0 ? (
        <Empty title={later.comparing.emptyTitle}>
          <p>{later.comparing.noBenchmark}</p>
        </Empty>
      ) : (
        <Setup id={form} drinks={drinks} draft={draft} form={draft.value} onCount={setPairings} />
      )}
    </Frame>
  );
}

interface SetupProps {
  id: string;
  drinks: ComparisonsAnswer['drinks'];
  draft: Draft<Form>;
  form: Form;
  onCount: (pairings: number) => void;
}

function Setup({ id, drinks, draft, form: held, onCount }: SetupProps) {
  const [wrong, setWrong] = useState<Faults>({});
  const [made] = useState(newId); // one comparison, however often it is sent
  const [busy, setBusy] = useState(false);
  const { answer: shelf } = useAnswer({ q: 'bottles' });
  const whole = useRef<HTMLFormElement>(null);
  const drink = drinks.find((it) => it.base === held.base) ?? drinks[0];
  useEffect(() => {
    const first = whole.current?.querySelector<HTMLElement>('[aria-invalid="true"], [data-wrong] input');
    if (Object.values(wrong).some(Boolean)) first?.focus();
  }, [wrong]);
  const counted = useRef(0);
  useEffect(() => onCount(counted.current));
  if (!drink) return null;
  // The benchmark may have changed since it was begun: then its lines are others.
  const form = held.base === drink.base ? held : { ...blank(drink.base), name: held.name };
  const all = drink.lines.map(({ line }) => line);
  const bottles = shelf?.rows ?? [];
  const called = new Map(bottles.map(({ ingredient, name }) => [ingredient ?? '', name]));
  const set = (part: Partial<Form>) => {
    setWrong({});
    draft.set({ ...form, ...part });
  };
  const places = placesIn(form, drink);
  const counts = countsIn(form, places, called);
  counted.current = counts.length === 0 ? 0 : product(counts);
  const full = places.length + (form.touching ? 1 : 0) >= mostSwaps;

  const begin = async () => {
    const faults = faultsOf(form, drink, called);
    if (form.touching && !faults.touches) {
      const text = await touchFault(form.touches);
      if (text !== '') faults.touches = text;
    }
    setWrong(faults);
    if (Object.values(faults).some(Boolean) || busy) return;
    setBusy(true);
    const undo = { do: 'delete' as const, id: made };
    try {
      await act(compareOf(form, drink, made, called));
    } catch (error) {
      setBusy(false);
      if (!(error instanceof RefusedError)) throw error;
      const { field, text } = error.refusal;
      return setWrong({ [field === 'lines' || field === 'touches' ? field : 'candidates']: text });
    }
    const anchored =
      form.anchor_x10 === null ||
      (await act({ do: 'anchor', id: newId(), comparison: made, anchor_x10: form.anchor_x10 }).then(
        () => true,
        () => false,
      ));
    saved(anchored ? later.comparing.saved : later.comparing.anchorFailed, undo);
    draft.drop();
    go(`/side/${made}`, true);
  };

  return (
    <form
      id={id}
      ref={whole}
      noValidate
      class={setupCss.setup}
      onSubmit={(event) => {
        event.preventDefault();
        begin().catch(notSaved);
      }}
    >
      <div class={setupCss.setupWhat}>
        <Select
          label={later.comparing.drink}
          value={drink.base}
          onChange={(base) => set({ ...blank(base), name: form.name })}
          options={drinks.map((it) => [it.base, it.name])}
        />
        <section
          class="part"
          role="group"
          aria-labelledby="which"
          data-wrong={wrong.lines ? '' : undefined}
          aria-describedby={wrong.lines ? 'lines-wrong' : undefined}
        >
          <h2 id="which">{later.comparing.which}</h2>
          <p class="quiet">{later.comparing.whichHelp}</p>
          {drink.lines.map(({ line, text }) => (
            <label key={line} class={tickboxCss.tickbox}>
              <input
                type="checkbox"
                checked={form.lines.includes(line)}
                disabled={!form.lines.includes(line) && full}
                onChange={() => set({ lines: ticked(form.lines, all, line) })}
              />
              <span>{tight(text)}</span>
            </label>
          ))}
          <label class={tickboxCss.tickbox}>
            <input
              type="checkbox"
              checked={form.touching}
              disabled={!form.touching && full}
              onChange={() => set({ touching: !form.touching })}
            />
            <span>{later.comparing.addition}</span>
          </label>
          <Wrong id="lines-wrong" text={wrong.lines} />
        </section>
      </div>
      <div class={setupCss.setupWhich} data-wrong={wrong.candidates ? '' : undefined}>
        {places.map((place) => (
          <Candidates
            key={place.id}
            place={place}
            spec={drink.base}
            line={place.id}
            form={form}
            set={set}
            bottles={bottles}
          />
        ))}
        {form.touching && (
          <section class="part">
            <h2>{later.comparing.addition}</h2>
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
        {places.length > 1 && (
          <Pasting names={places.map(({ own }) => own)} form={form} set={set} error={wrong.pairings} />
        )}
        {counts.length > 0 && (
          <p class={setupCss.count} role="status">
            {later.comparing.glasses(counts, product(counts))}
          </p>
        )}
        <Wrong id="candidates-wrong" text={wrong.candidates} />
      </div>
      <div class={setupCss.setupWorth}>
        <Worth x10={form.anchor_x10} onChange={(anchor_x10) => set({ anchor_x10 })} />
        <Field
          label={later.comparing.name}
          value={form.name}
          onInput={(name) => set({ name })}
          placeholder={drink.name}
          help={later.comparing.nameHelp}
        />
      </div>
    </form>
  );
}

/** The first typed line that is no amount of something, as a sentence; '' when all are. */
export async function touchFault(text: string): Promise<string> {
  const rows = rowsOf(text);
  if (rows.length === 0) return '';
  const { lines } = await ask({ q: 'draft', lines: rows.map((row) => row.text), method: '' });
  for (const [i, row] of rows.entries()) {
    const read = lines[i];
    if (read && !read.ok) {
      const { text: why } = read.refusal;
      return later.comparing.badTouch(row.no, row.text, why.startsWith('expected an amount') ? '' : why);
    }
    if (read && (read.lines.length !== 1 || read.lines[0]?.open !== '' || read.lines[0].amount === ''))
      return later.comparing.badTouch(row.no, row.text, '');
  }
  return '';
}

function Worth({ x10, onChange }: { x10: number | null; onChange: (x10: number | null) => void }) {
  return (
    <section class="part">
      <h2>{later.comparing.worth}</h2>
      <HalfPoints
        label={later.comparing.worthLabel}
        less={words.sheet.scoreLess}
        more={words.sheet.scoreMore}
        x10={x10}
        onChange={onChange}
      />
      {x10 !== null && x10 >= topX10 && (
        <p class={`${stateMarkCss.state} ${toneCss.look} ${setupCss.warned}`} role="status">
          <Mark shape="triangle" />
          <span>{later.comparing.worthHigh}</span>
        </p>
      )}
      <p class="quiet key">{later.comparing.worthHelp}</p>
      {x10 !== null && (
        <button type="button" class="link" onClick={() => onChange(null)}>
          {later.comparing.worthClear}
        </button>
      )}
    </section>
  );
}
