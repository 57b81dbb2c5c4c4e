import { useEffect, useRef, useState } from 'preact/hooks';
import type { Intent } from '../../../shared/core.ts';
import { minorUnits } from '../../format.ts';
import { newId } from '../../ids.ts';
import { useDraft } from '../../parts/draft.ts';
import { Field } from '../../parts/field.tsx';
import { readNumber } from '../../parts/read-number.ts';
import { save } from '../../parts/saved.tsx';
import { later, words } from '../../words.ts';
import { today } from './today.ts';
import * as fieldCss from '../../parts/field.module.css';

interface Form {
  id: string;
  name: string;
  size: string;
  strength: string;
  price: string;
  currency: string;
  opened: string;
}
type Faults = Partial<Record<keyof Form, string>>;

/** A bottle to put on the shelf; only what is in it must be said. */
export function AddBottle({ currency, onDone }: { currency: string; onDone: () => void }) {
  const draft = useDraft<Form>(
    'bottle.new',
    () => ({ id: newId(), name: '', size: '', strength: '', price: '', currency, opened: '' }),
    (kept) => (isForm(kept) ? kept : null),
  );
  const [bad, setBad] = useState<Faults>({});
  const first = useRef<HTMLFormElement>(null);
  const loaded = draft.value !== null;
  useEffect(() => {
    first.current?.querySelector('input')?.focus();
  }, [loaded]);
  if (!draft.value) return null;
  const form = draft.value;
  const set = (part: Partial<Form>) => draft.set({ ...form, ...part });
  const submit = async (event: Event) => {
    event.preventDefault();
    const read = bottleOf(form);
    setBad(read.wrong);
    if (!read.intent) return;
    if (await save(read.intent, later.bottles.saved(form.name.trim()), (done) => ({ do: 'delete', id: done.made }))) {
      draft.drop();
      onDone();
    }
  };
  return (
    <section class="part">
      <h2>{later.bottles.addTitle}</h2>
      <form id="bottle" ref={first} noValidate onSubmit={(event) => void submit(event)}>
        <Field
          label={later.bottles.name}
          value={form.name}
          onInput={(name) => set({ name })}
          error={bad.name}
          placeholder={later.bottles.namePlaceholder}
          required
        />
        <div class={fieldCss.twofields}>
          <Field
            label={later.bottles.size}
            inputMode="decimal"
            value={form.size}
            onInput={(size) => set({ size })}
            error={bad.size}
          />
          <Field
            label={later.bottles.strength}
            inputMode="decimal"
            value={form.strength}
            onInput={(strength) => set({ strength })}
            error={bad.strength}
            help={later.bottles.strengthHelp}
          />
        </div>
        <div class={fieldCss.twofields}>
          <Field
            label={later.bottles.price}
            inputMode="decimal"
            value={form.price}
            onInput={(price) => set({ price })}
            error={bad.price}
          />
          <Field
            label={later.bottles.currency}
            value={form.currency}
            onInput={(text) => set({ currency: text })}
            error={bad.currency}
            placeholder="EUR"
          />
        </div>
        <Field
          label={later.bottles.openedOn}
          type="date"
          max={today()}
          value={form.opened}
          onInput={(opened) => set({ opened })}
          error={bad.opened}
        />
        <div class="btns">
          <button
            type="button"
            class="btn"
            onClick={() => {
              draft.drop();
              onDone();
            }}
          >
            {words.cancel}
          </button>
        </div>
      </form>
    </section>
  );
}

function isForm(kept: unknown): kept is Form {
  const fields = ['id', 'name', 'size', 'strength', 'price', 'currency', 'opened'];
  return (
    typeof kept === 'object' &&
    kept !== null &&
    fields.every((field) => typeof (kept as Record<string, unknown>)[field] === 'string')
  );
}

/** The form as an intent, or what is wrong field by field. */
export function bottleOf(form: Form, nowMs: number = Date.now()): { intent: Intent | null; wrong: Faults } {
  const wrong: Faults = {};
  const filled = (text: string) => text.trim() !== '';
  const size = readNumber(form.size);
  const strength = readNumber(form.strength);
  const price = readNumber(form.price);
  const currency = form.currency.trim().toUpperCase();
  if (!filled(form.name)) wrong.name = later.bottles.needName;
  if (filled(form.size) && (size === null || size <= 0 || size > 100_000))
    wrong.size = later.bottles.needSize(form.size);
  if (filled(form.strength) && (strength === null || strength > 100))
    wrong.strength = later.bottles.needStrength(form.strength);
  if (filled(form.price) && price === null) wrong.price = later.bottles.needPrice(form.price);
  if (filled(form.price) && !/^[A-Z]{3}$/.test(currency)) wrong.currency = later.bottles.needCurrency(form.currency);
  if (form.opened !== '' && form.opened > today(nowMs)) wrong.opened = later.bottles.dateBad;
  if (Object.keys(wrong).length > 0) return { intent: null, wrong };
  return {
    wrong,
    intent: {
      do: 'bottle',
      id: form.id,
      name: form.name.trim(),
      ...(size === null ? {} : { size_ul: Math.round(size * 1000) }),
      ...(strength === null ? {} : { abv_bp: Math.round(strength * 100) }),
      ...(price === null ? {} : { price_minor: Math.round(price * 10 ** minorUnits(currency)), currency }),
      ...(form.opened === '' ? {} : { opened_on: form.opened }),
    },
  };
}
