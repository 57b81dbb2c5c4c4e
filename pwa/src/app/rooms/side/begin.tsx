import { useState } from 'preact/hooks';
import type { BottlesAnswer, ComparisonsAnswer, Id } from '../../../shared/core.ts';
import { useAnswer } from '../../core-client.ts';
import { tight } from '../../format.ts';
import { Frame } from '../../frame.tsx';
import { newId } from '../../ids.ts';
import { type Draft, useDraft } from '../../parts/draft.ts';
import { Empty } from '../../parts/empty.tsx';
import { Field, Select } from '../../parts/field.tsx';
import { save } from '../../parts/saved.tsx';
import { Waiting } from '../../parts/waiting.tsx';
import { go } from '../../router.ts';
import { Mark } from '../../state-mark.tsx';
import { words } from '../../words.ts';
import { later } from '../../words-later.ts';
import { blank, compareOf, type Form, kept, mostLines, pairingsIn, pairingsOf, ticked } from './read.ts';
import './style.css';

/** /side/new: which drink, which of its lines, and what may stand in them. */
export function Begin() {
  const { answer, slow, fault, refusal } = useAnswer({ q: 'comparisons' });
  const draft = useDraft<Form>('compare', blank, kept);
  const form = 'compare-form';
  const drinks = answer?.drinks ?? [];
  return (
    <Frame
      title={later.comparing.begin}
      away="/side"
      {...(drinks.length > 0 ? { act: { label: later.comparing.save, form } } : {})}
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
        <Setup id={form} drinks={drinks} draft={draft} form={draft.value} />
      )}
    </Frame>
  );
}

interface SetupProps {
  id: string;
  drinks: ComparisonsAnswer['drinks'];
  draft: Draft<Form>;
  form: Form;
}

function Setup({ id, drinks, draft, form }: SetupProps) {
  const [wrong, setWrong] = useState('');
  const { answer: shelf } = useAnswer({ q: 'bottles' });
  const drink = drinks.find((it) => it.base === form.base) ?? drinks[0];
  if (!drink) return null;
  const all = drink.lines.map(({ line }) => line);
  const set = (part: Partial<Form>) => {
    setWrong('');
    draft.set({ ...form, base: drink.base, ...part });
  };
  const { bad } = pairingsOf(form.pairings, form.lines.length);
  const chosen = drink.lines.filter(({ line }) => form.lines.includes(line));
  const glasses = pairingsIn(form);
  return (
    <form
      id={id}
      noValidate
      class="narrow"
      onSubmit={(event) => {
        event.preventDefault();
        if (form.lines.length === 0) return setWrong(later.comparing.needLine);
        if (bad.length > 0) return setWrong(later.comparing.badPairing(bad[0] ?? '', form.lines.length));
        if (glasses < 2) return setWrong(later.comparing.needCandidate);
        void save(compareOf(form, drink, newId()), later.comparing.saved, (done) => ({
          do: 'delete',
          id: done.made,
        })).then((done) => {
          if (!done) return;
          draft.drop();
          go(`/side/${done.made}`, true);
        });
      }}
    >
      <section class="part first">
        <Select
          label={later.comparing.drink}
          value={drink.base}
          onChange={(base) => set({ ...blank(base), name: form.name })}
          options={drinks.map((it) => [it.base, it.name])}
        />
      </section>
      <fieldset class="part">
        <legend>{later.comparing.which}</legend>
        {drink.lines.map(({ line, text }) => (
          <label key={line} class="tickbox">
            <input
              type="checkbox"
              checked={form.lines.includes(line)}
              disabled={!form.lines.includes(line) && form.lines.length >= mostLines}
              onChange={() => set({ lines: ticked(form.lines, all, line) })}
            />
            <span>{tight(text)}</span>
          </label>
        ))}
      </fieldset>
      {chosen.map(({ line, name }) => (
        <Candidates key={line} line={line} name={name} form={form} set={set} bottles={shelf?.rows ?? []} />
      ))}
      {chosen.length > 1 && (
        <details class="why">
          <summary>{later.comparing.paste}</summary>
          <Field
            label={later.comparing.pairings}
            rows={4}
            value={form.pairings}
            onInput={(pairings) => set({ pairings })}
            help={later.comparing.pairingsHelp(chosen.map(({ name }) => name).join(' + '))}
          />
        </details>
      )}
      <section class="part">
        <Field
          label={later.comparing.name}
          value={form.name}
          onInput={(name) => set({ name })}
          placeholder={drink.name}
        />
        {chosen.length > 0 && <p class="quiet">{later.comparing.glasses(glasses)}</p>}
        {wrong !== '' && (
          <p class="err" role="alert">
            <Mark shape="triangle" />
            <span>{wrong}</span>
          </p>
        )}
      </section>
    </form>
  );
}

interface CandidatesProps {
  line: Id;
  name: string;
  form: Form;
  set: (part: Partial<Form>) => void;
  bottles: BottlesAnswer['rows'];
}

function Candidates({ line, name, form, set, bottles }: CandidatesProps) {
  const [find, setFind] = useState('');
  const on = form.shelf[line] ?? [];
  const offered = new Map<Id, string>();
  for (const { ingredient, name: called, finished_on } of bottles)
    if (ingredient !== null && finished_on === null && !offered.has(ingredient)) offered.set(ingredient, called);
  const sought = find.trim().toLowerCase();
  const shown = [...offered].filter(([it, called]) => on.includes(it) || called.toLowerCase().includes(sought));
  return (
    <section class="part">
      <h2>{later.comparing.insteadOf(name)}</h2>
      {offered.size > 0 && (
        <details class="why">
          <summary>{later.comparing.shelf(on.length)}</summary>
          {offered.size > 8 && <Field label={words.find} type="search" value={find} onInput={setFind} />}
          {shown.map(([it, called]) => (
            <label key={it} class="tickbox">
              <input
                type="checkbox"
                checked={on.includes(it)}
                onChange={() =>
                  set({
                    shelf: { ...form.shelf, [line]: on.includes(it) ? on.filter((was) => was !== it) : [...on, it] },
                  })
                }
              />
              <span>{tight(called)}</span>
            </label>
          ))}
        </details>
      )}
      <Field
        label={later.comparing.names}
        rows={4}
        value={form.names[line] ?? ''}
        onInput={(text) => set({ names: { ...form.names, [line]: text } })}
        help={later.comparing.namesHelp}
      />
    </section>
  );
}
