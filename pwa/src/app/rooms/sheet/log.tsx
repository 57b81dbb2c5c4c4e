import { useState } from 'preact/hooks';
import type { Intent, Tonight } from '../../../shared/core.ts';
import { useAnswer } from '../../core-client.ts';
import { tight } from '../../format.ts';
import { Frame } from '../../frame.tsx';
import { newId } from '../../ids.ts';
import { Field, Select } from '../../parts/field.tsx';
import { nothingTyped, type Plain, usePlain } from '../../parts/plain-drink.tsx';
import { readNumber } from '../../parts/read-number.ts';
import { save } from '../../parts/saved.tsx';
import { Waiting } from '../../parts/waiting.tsx';
import { instantOf, type Moment, momentNow, MomentFields, wrongWith } from '../../parts/when.tsx';
import { turnBetween } from '../../parts/zoned.ts';
import { go } from '../../router.ts';
import { words } from '../../words.ts';
import { plainDetail } from '../../parts/plain-detail.ts';
import * as tickboxCss from '../../parts/tickbox.module.css';
import * as css from './style.module.css';

/** Drinks of an evening that was not logged then: what, how many, from when to when. */
export function Log() {
  const { answer, slow, fault } = useAnswer({ q: 'tonight' });
  if (!answer)
    return (
      <Frame title={words.logging.title} away="/pour">
        <Waiting slow={slow} fault={fault} />
      </Frame>
    );
  return <Form answer={answer} />;
}

const other = 'other';

function Form({ answer }: { answer: Tonight }) {
  const [id] = useState(newId); // once, however often the button is tapped
  const [what, setWhat] = useState(answer.plains[0] ? `plain ${answer.plains[0].id}` : other);
  const typed = usePlain(nothingTyped);
  const [count, setCount] = useState('1');
  const [first, setFirst] = useState<Moment>(() => momentNow());
  const [last, setLast] = useState<Moment>(() => momentNow());
  const [about, setAbout] = useState<boolean | null>(null); // several are a guess until said otherwise
  const [bad, setBad] = useState<Partial<Record<'n' | 'first' | 'last', string>>>({});
  const [busy, setBusy] = useState(false);
  const n = readNumber(count) ?? 0;
  const guessed = about ?? n > 1;

  const glass = (): { called: string; of: { spec: string } | Plain } | null => {
    const spec = answer.specs.find((it) => what === `spec ${it.id}`);
    if (spec) return { called: spec.name, of: { spec: spec.id } };
    const preset = answer.plains.find((it) => what === `plain ${it.id}`);
    const plain = preset
      ? {
          name: preset.name,
          vol_ul: Math.round(preset.volume_ml * 1000),
          abv_bp: preset.abv_percent === null ? null : Math.round(preset.abv_percent * 100),
        }
      : typed.read();
    return plain && { called: plain.name, of: plain };
  };

  const submit = async (event: Event) => {
    event.preventDefault();
    if (busy) return;
    const wrong: typeof bad = {};
    const it = glass();
    if (!Number.isInteger(n) || n < 1 || n > 20) wrong.n = words.logging.needN;
    const from = instantOf(first);
    const to = n > 1 ? instantOf(last) : from;
    const firstWrong = wrongWith(first);
    const lastWrong = n > 1 ? wrongWith(last) : undefined;
    if (firstWrong) wrong.first = firstWrong;
    if (lastWrong) wrong.last = lastWrong;
    else if (from && to && to.at_ms < from.at_ms) wrong.last = words.logging.lastFirst;
    setBad(wrong);
    if (Object.keys(wrong).length > 0 || it === null || !from || !to) return;
    setBusy(true);
    const turn = turnBetween(from.at_ms, to.at_ms, first.zone);
    const intent: Intent = {
      do: 'several',
      id,
      n,
      first_at_ms: from.at_ms,
      last_at_ms: to.at_ms,
      offset_min: from.offset_min,
      ...(turn && { turns_at_ms: turn.at_ms, last_offset_min: turn.offset_min }),
      zone: first.zone,
      about: guessed,
      ...it.of,
    };
    const done = await save(intent, words.logging.saved(n, it.called), ({ made, touched }) => ({
      do: 'delete',
      id: made,
      also: touched.filter((it) => it !== made),
    }));
    setBusy(false);
    if (done) go('/journal', true);
  };

  return (
    <Frame title={words.logging.title} away="/pour" act={{ label: words.logging.save(n), form: 'log', disabled: busy }}>
      <form class={`narrow ${css.stack}`} id="log" noValidate onSubmit={(event) => void submit(event)}>
        <Select
          label={words.logging.what}
          value={what}
          onChange={setWhat}
          options={[
            ...answer.plains.map((it) => [`plain ${it.id}`, words.logging.plain(it.name, plainDetail(it))] as const),
            ...answer.specs.map(
              (it) =>
                [`spec ${it.id}`, it.version ? words.tonight.sameOf(it.name, tight(it.version)) : it.name] as const,
            ),
            [other, words.sheet.other] as const,
          ]}
        />
        {what === other && typed.fields}
        <Field label={words.logging.n} value={count} onInput={setCount} error={bad.n} inputMode="numeric" />
        <MomentFields
          label={n > 1 ? words.logging.first : words.sheet.earlierField}
          value={first}
          onChange={(moment) => {
            setFirst(moment);
            // One place: the last follows the first's zone, and is never before it.
            if (instantOf(last) === null || last.wall < moment.wall) setLast(moment);
            else if (last.zone !== moment.zone) setLast({ ...last, zone: moment.zone });
          }}
          error={bad.first}
        />
        {n > 1 && (
          <>
            <MomentFields label={words.logging.last} value={last} onChange={setLast} error={bad.last} />
            <p class="quiet">{words.logging.spread}</p>
          </>
        )}
        <label class={tickboxCss.tickbox}>
          <input type="checkbox" checked={guessed} onChange={(event) => setAbout(event.currentTarget.checked)} />{' '}
          {words.logging.about}
        </label>
      </form>
    </Frame>
  );
}
