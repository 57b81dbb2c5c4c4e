import { useEffect, useRef, useState } from 'preact/hooks';
import type { Id, LineView, SpecView } from '../../../shared/core.ts';
import { act, RefusedError } from '../../core-client.ts';
import { money, standardDrinks } from '../../format.ts';
import { newId } from '../../ids.ts';
import { Alert } from '../../parts/alert.tsx';
import { BalancePanel } from '../../parts/balance.tsx';
import { Field, Select } from '../../parts/field.tsx';
import { Lines } from '../../parts/lines.tsx';
import { Once } from '../../parts/once.tsx';
import { notSaved, save, saved } from '../../parts/saved.tsx';
import { go } from '../../router.ts';
import { methods } from '../../methods.ts';
import { later, words } from '../../words.ts';
import { useReading } from '../../parts/reading.ts';
import { Cautions } from '../../parts/caution-list.tsx';
import { backTo, ReadingLine, RewriteButtons } from '../../parts/reading-line.tsx';
import { versionName, versionRecord } from './list.tsx';
import { specText } from './text.ts';
import { WhatToChange } from './adjust.tsx';
import * as noteCss from '../../parts/note.module.css';
import * as tickboxCss from '../../parts/tickbox.module.css';
import * as toneCss from '../../parts/tone.module.css';
import * as versionsCss from '../../parts/versions.module.css';
import * as css from './spec.module.css';

/** What is being changed in place: one thing at a time. */
type Open = { line: Id } | { field: FieldName } | null;
type FieldName = 'method' | 'ice' | 'glass' | 'garnish' | 'name' | 'note';
const four = ['method', 'ice', 'glass', 'garnish'] as const;

export function SpecDetail({ view }: { view: SpecView }) {
  const [open, setOpen] = useState<Open>(null);
  const close = () => setOpen(null);
  const said = new Set(view.balance.remarks.map(({ code }) => code)); // raw egg stands with the balance already
  return (
    <>
      <section aria-label={later.spec.lines}>
        <Lines
          lines={view.lines}
          clashHref={`/clash/${view.id}`}
          edit={{
            open: open && 'line' in open ? open.line : null,
            onOpen: (line) => setOpen(open && 'line' in open && open.line === line.id ? null : { line: line.id }),
            form: (line) => <LineForm key={line.id} view={view} line={line} onDone={close} />,
          }}
        />
        <dl class={css.how}>
          {four.map((field) => {
            const text = field === 'method' && view.method ? words.method(view.method) : view[field];
            const shown = text || later.spec.unset;
            return (
              <div key={field}>
                <dt>{later.spec.field[field]}</dt>
                <dd>
                  <button
                    type="button"
                    aria-expanded={open !== null && 'field' in open && open.field === field}
                    aria-label={later.spec.changeField(later.spec.field[field] ?? field, text || later.spec.none)}
                    onClick={() => setOpen(open && 'field' in open && open.field === field ? null : { field })}
                  >
                    {shown}
                  </button>
                </dd>
              </div>
            );
          })}
        </dl>
        {open && 'field' in open && open.field !== 'note' && open.field !== 'name' && (
          <FieldForm key={open.field} view={view} field={open.field} onDone={close} />
        )}
      </section>

      <BalancePanel balance={view.balance} />
      <WhatToChange key={view.id} spec={view.id} balance={view.balance} />
      <p class={`quiet ${toneCss.plain} key`}>{later.spec.alcohol(standardDrinks(view.alcohol))}</p>
      {view.cost.map((cost) => (
        <p key={cost.currency} class="quiet key unprinted">
          {later.spec.cost(money(cost.minor, cost.currency), cost.partial)}
        </p>
      ))}
      {view.lines.length > 0 && <Otherwise view={view} />}

      <Cautions cautions={view.cautions.filter(({ code }) => !said.has(code))} />

      <section class={view.note ? 'part' : 'part unprinted'}>
        <h2>{later.spec.noteHeading}</h2>
        {view.note && <p class={noteCss.note}>{view.note}</p>}
        {open && 'field' in open && open.field === 'note' ? (
          <FieldForm view={view} field="note" onDone={close} />
        ) : (
          <button type="button" class="link unprinted" onClick={() => setOpen({ field: 'note' })}>
            {view.note ? later.spec.noteChange : later.spec.noteAdd}
          </button>
        )}
      </section>

      {view.tree.length > 1 && <Tree view={view} />}
      <More
        view={view}
        naming={open !== null && 'field' in open && open.field === 'name'}
        onName={() => setOpen({ field: 'name' })}
        onDone={close}
      />
    </>
  );
}

/** One line retyped. Of a poured spec the change makes a riff, unless it only corrects a slip. */
function LineForm({ view, line, onDone }: { view: SpecView; line: LineView; onDone: () => void }) {
  const [id] = useState(newId); // one change, however often the button is tapped
  const [typed, setTyped] = useState(line.typed);
  const [slip, setSlip] = useState(false);
  const [refused, setRefused] = useState<string | null>(null);
  const reading = useReading([typed], view.method, { spec: view.id });
  const input = useOpened<HTMLDivElement>();
  const read = reading.lines[0];
  const wrong = refused ?? (read && !read.ok && reading.settled ? read.refusal.text : undefined);
  return (
    <form
      class={css.inplace}
      noValidate
      onSubmit={async (event) => {
        event.preventDefault();
        if (typed.trim() === line.typed) return onDone();
        try {
          const done = await act({
            do: 'line',
            id,
            spec: view.id,
            line: line.id,
            typed: typed.trim(),
            ...(slip ? { slip } : {}),
          });
          saved(done.riff ? later.spec.lineRiff : later.spec.lineSaved);
          onDone();
          if (done.riff) go(`/specs/${done.riff}`);
        } catch (error) {
          if (error instanceof RefusedError) setRefused(error.refusal.text);
          else notSaved();
        }
      }}
    >
      <div ref={input}>
        <Field
          label={later.spec.lineLabel}
          value={typed}
          onInput={(text) => {
            setRefused(null);
            setTyped(text);
          }}
          error={wrong}
          help={read?.ok ? <ReadingLine lines={read.lines} /> : undefined}
        />
      </div>
      {read && !read.ok && (
        <RewriteButtons
          typed={typed}
          refusal={read.refusal}
          method={view.method}
          onRewrite={setTyped}
          onAgain={() => backTo(input.current?.querySelector('input'))}
        />
      )}
      {view.poured > 0 && (
        <>
          <p class="quiet">{later.spec.pouredBefore(view.poured)}</p>
          <Slip checked={slip} onChange={setSlip} label={later.spec.slip} />
        </>
      )}
      <Buttons onDone={onDone} />
    </form>
  );
}

/** One word of the spec, changed in place. */
function FieldForm({ view, field, onDone }: { view: SpecView; field: FieldName; onDone: () => void }) {
  const [value, setValue] = useState<string>(view[field]);
  const [slip, setSlip] = useState(false);
  const [refused, setRefused] = useState<string | undefined>(undefined);
  const first = useOpened<HTMLFormElement>();
  const label = later.spec.field[field] ?? field;
  const fixed = view.poured > 0 && (field === 'method' || field === 'ice');
  return (
    <form
      class={css.inplace}
      ref={first}
      noValidate
      onSubmit={async (event) => {
        event.preventDefault();
        const text = value.trim();
        if (text === view[field]) return onDone();
        try {
          await act({
            do: 'edit',
            id: view.id,
            kind: 'spec',
            set: { [field]: text === '' ? null : text },
            ...(slip ? { slip } : {}),
          });
          saved(later.spec.fieldSaved(label), {
            do: 'edit',
            id: view.id,
            kind: 'spec',
            set: { [field]: view[field] || null },
            ...(slip ? { slip } : {}),
          });
          onDone();
        } catch (error) {
          if (error instanceof RefusedError) setRefused(error.refusal.text);
          else notSaved();
        }
      }}
    >
      {field === 'method' ? (
        <Select
          label={label}
          value={value}
          onChange={setValue}
          options={[['', later.editor.unset], ...methods.map((key) => [key, words.method(key)] as const)]}
        />
      ) : (
        <Field
          label={label}
          value={value}
          onInput={setValue}
          {...(field === 'note' ? { rows: 3 } : {})}
          {...(field === 'ice'
            ? { offers: later.editor.ices }
            : field === 'glass'
              ? { offers: later.editor.glasses }
              : {})}
        />
      )}
      {refused && <Alert text={refused} />}
      {fixed && <Slip checked={slip} onChange={setSlip} label={later.editor.slip} />}
      <Buttons onDone={onDone} />
    </form>
  );
}

function Slip({ checked, onChange, label }: { checked: boolean; onChange: (on: boolean) => void; label: string }) {
  return (
    <label class={tickboxCss.tickbox}>
      <input type="checkbox" checked={checked} onChange={(event) => onChange(event.currentTarget.checked)} /> {label}
    </label>
  );
}

function Buttons({ onDone }: { onDone: () => void }) {
  return (
    <div class="btns">
      <button type="submit" class="btn strong">
        {words.save}
      </button>
      <button type="button" class="btn" onClick={onDone}>
        {words.leaveIt}
      </button>
    </div>
  );
}

/** What was opened by a touch is where the hand types next. */
function useOpened<T extends HTMLElement>() {
  const here = useRef<T>(null);
  useEffect(() => {
    here.current?.querySelector<HTMLElement>('input, textarea, select')?.focus();
  }, []);
  return here;
}

/** Ways to another version; opening one changes nothing. */
function Otherwise({ view }: { view: SpecView }) {
  return (
    <section class="part unprinted">
      <h2>{later.otherwise.title}</h2>
      <ul>
        {(['swap', 'touch', 'difference'] as const).map((way) => (
          <li key={way}>
            <a class="link" href={`/specs/${view.id}/${way}`}>
              {later.otherwise[way]}
            </a>
          </li>
        ))}
        <li>
          <a class="link" href={`/specs/${view.id}/batch`}>
            {later.batch.link}
          </a>
        </li>
      </ul>
    </section>
  );
}

const deep = [undefined, css.d1, css.d2, css.d3] as const;

/** The drink's versions as a tree of riffs. */
function Tree({ view }: { view: SpecView }) {
  return (
    <section class="part unprinted">
      <h2>{later.spec.riffs}</h2>
      <ul class={css.tree}>
        {view.tree.map(({ row, depth }) => (
          <li key={row.id} class={deep[Math.min(depth, 3)]}>
            <a
              class={versionsCss.version}
              href={`/specs/${row.id}`}
              aria-current={row.id === view.id ? 'page' : undefined}
            >
              <span class={row.benchmark ? 'name' : undefined}>
                {row.benchmark ? view.drink_name : versionName(row)}
              </span>
              <span class="quiet end">
                {row.benchmark && (
                  <>
                    {words.specs.benchmark}
                    <br />
                  </>
                )}
                {versionRecord(row)}
              </span>
            </a>
          </li>
        ))}
      </ul>
      <p class="unprinted">
        <a class="link" href="/side">
          {later.specs.compare}
        </a>
      </p>
    </section>
  );
}

interface MoreProps {
  view: SpecView;
  naming: boolean;
  onName: () => void;
  onDone: () => void;
}

function More({ view, naming, onName, onDone }: MoreProps) {
  const before = view.tree.find(({ row }) => row.benchmark)?.row.id;
  const share = async () => {
    const text = specText(view);
    try {
      if (navigator.share) await navigator.share({ text });
      else {
        await navigator.clipboard.writeText(text);
        saved(later.spec.shared);
      }
    } catch {
      // put away by the person, or not allowed: nothing was promised
    }
  };
  return (
    <section class="part unprinted">
      <h2>{later.spec.more}</h2>
      {naming && <FieldForm view={view} field="name" onDone={onDone} />}
      <div class="btns">
        <a class="btn" href={`/specs/${view.id}/riff`}>
          {later.spec.riff}
        </a>
        <a class="btn" href={`/specs/${view.id}/edit`}>
          {later.spec.edit}
        </a>
        {!naming && (
          <button type="button" class="btn" onClick={onName}>
            {later.spec.rename}
          </button>
        )}
        {!view.benchmark && view.drink && (
          <button
            type="button"
            class="btn"
            onClick={() =>
              void save(
                { do: 'benchmark', spec: view.id },
                later.spec.madeBenchmark,
                before ? () => ({ do: 'benchmark', spec: before }) : undefined,
              )
            }
          >
            {later.spec.makeBenchmark}
          </button>
        )}
        <button type="button" class="btn" onClick={() => void share()}>
          {later.spec.share}
        </button>
        <button type="button" class="btn" onClick={() => print()}>
          {later.spec.print}
        </button>
        <Once
          control={`delete ${view.id}`}
          class="btn"
          act={async () => {
            const undo = () => ({ do: 'restore' as const, id: view.id });
            const done = await save({ do: 'delete', id: view.id }, later.spec.deleted, undo);
            if (done) go('/specs', true);
            return done;
          }}
        >
          {later.spec.delete}
        </Once>
      </div>
    </section>
  );
}
