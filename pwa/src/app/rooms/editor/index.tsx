import { useEffect, useLayoutEffect, useRef, useState } from 'preact/hooks';
import type { SpecView } from '../../../shared/core.ts';
import { act, RefusedError, useAnswer } from '../../core-client.ts';
import { standardDrinks } from '../../format.ts';
import { Frame } from '../../frame.tsx';
import { newId } from '../../ids.ts';
import { Alert } from '../../parts/alert.tsx';
import { BalancePanel } from '../../parts/balance.tsx';
import { type Draft, useDraft } from '../../parts/draft.ts';
import { Field, Select } from '../../parts/field.tsx';
import { readNumber } from '../../parts/read-number.ts';
import { specTitle } from '../../parts/spec-name.ts';
import { notSaved, saved } from '../../parts/saved.tsx';
import { Waiting } from '../../parts/waiting.tsx';
import { go, type Params, path } from '../../router.ts';
import { Mark } from '../../state-mark.tsx';
import { methods } from '../../methods.ts';
import { later, words } from '../../words.ts';
import {
  addLine,
  blank,
  faults,
  type Form,
  type FormLine,
  formOf,
  intentOf,
  moveLine,
  readForm,
  removeLine,
  type Sort,
  typeLine,
  written,
} from './form.ts';
import { type Reading, useReading } from '../../parts/reading.ts';
import { backTo, ReadingLine, RewriteButtons } from '../../parts/reading-line.tsx';
import * as alertCss from '../../parts/alert.module.css';
import * as bannerCss from '../../parts/banner.module.css';
import * as fieldCss from '../../parts/field.module.css';
import * as tickboxCss from '../../parts/tickbox.module.css';
import * as toneCss from '../../parts/tone.module.css';
import * as css from './style.module.css';

/** /specs/new, /specs/<id>/edit and /specs/<id>/riff. */
export function SpecEditor({ params }: { params: Params }) {
  if (!params.id) return <Editor key="new" sort="new" view={null} />;
  const sort = path.value.endsWith('/riff') ? 'riff' : 'edit';
  return <OfSpec key={`${params.id}.${sort}`} id={params.id} sort={sort} />;
}

function OfSpec({ id, sort }: { id: string; sort: 'edit' | 'riff' }) {
  const { answer, slow, fault, refusal } = useAnswer({ q: 'spec', id });
  const [first, setFirst] = useState<SpecView | null>(null);
  useEffect(() => {
    if (answer && !first) setFirst(answer); // a change from elsewhere does not write over what is being typed
  }, [answer]);
  if (first) return <Editor sort={sort} view={first} />;
  return (
    <Frame title={titleOf(sort)} away={`/specs/${id}`}>
      {refusal ? <p role="alert">{words.notThere}</p> : <Waiting slow={slow} fault={fault} />}
    </Frame>
  );
}

const titleOf = (sort: Sort): string =>
  ({ new: later.editor.titleNew, edit: later.editor.titleEdit, riff: later.editor.titleRiff })[sort];

function Editor({ sort, view }: { sort: Sort; view: SpecView | null }) {
  const draft = useDraft<Form>(
    view ? `spec.${view.id}.${sort}` : 'spec.new',
    () => (view && sort !== 'new' ? formOf(sort, view, newId()) : blank(newId())),
    (kept) => readForm(kept, view && sort === 'edit' ? formOf(sort, view, '').was : undefined),
  );
  const away = view ? `/specs/${view.id}` : '/specs';
  if (!draft.value)
    return (
      <Frame title={titleOf(sort)} away={away}>
        <Waiting slow={false} fault={null} />
      </Frame>
    );
  return <Sheet sort={sort} view={view} form={draft.value} draft={draft} away={away} />;
}

interface SheetProps {
  sort: Sort;
  view: SpecView | null;
  form: Form;
  draft: Draft<Form>;
  away: string;
}

/** What the core would not take: at a line, or somewhere else on the form. */
interface Refused {
  line?: number;
  text: string;
  code: string;
}

function Sheet({ sort, view, form, draft, away }: SheetProps) {
  const specs = useAnswer({ q: 'specs' });
  const [tried, setTried] = useState(false);
  const [refused, setRefused] = useState<Refused | null>(null);
  const [busy, setBusy] = useState(false);
  const total = readNumber(form.total);
  const reading = useReading(
    form.lines.map((line) => line.typed),
    form.method,
    {
      ...(view ? { spec: view.id } : {}),
      ...(total !== null && total > 0 ? { total_ul: Math.round(total * 1000) } : {}),
    },
  );
  const inParts = reading.lines.some((read) => read?.ok && (read.lines ?? []).some((line) => line.unit === 'part'));
  const wrong = faults(form, inParts);
  const unread = form.lines.filter((_, i) => reading.lines[i] && !reading.lines[i]?.ok).length;
  const set = (part: Partial<Form>) => {
    setRefused(null);
    draft.set({ ...form, ...part });
  };

  const save = async () => {
    setTried(true);
    if (busy || Object.keys(wrong).length > 0 || unread > 0) return;
    setBusy(true);
    try {
      const done = await act(intentOf(sort, form, view?.id ?? null, inParts));
      draft.drop();
      saved(later.editor.saved);
      go(`/specs/${done.made}`, true);
    } catch (error) {
      if (error instanceof RefusedError) {
        const { code, field, text } = error.refusal;
        const at = /^lines\.(\d+)/.exec(field)?.[1];
        const line = at === undefined ? undefined : written(form.lines)[Number(at)]?.key;
        setRefused({
          code,
          text: code === 'poured' ? later.editor.needSlip : text,
          ...(line === undefined ? {} : { line }),
        });
      } else notSaved();
      setBusy(false);
    }
  };

  const drinks = specs.answer?.drinks ?? [];
  const known = drinks.find((drink) => drink.name.toLowerCase() === form.drink.trim().toLowerCase());
  const drinkHelp =
    form.drink.trim() === ''
      ? later.editor.drinkHelp
      : known
        ? later.editor.drinkHere(known.name)
        : later.editor.drinkNew;
  const sub = view && (sort === 'riff' ? later.editor.riffOf(specTitle(view)) : specTitle(view));
  return (
    <Frame
      title={titleOf(sort)}
      {...(sub ? { sub } : {})}
      away={away}
      act={{ label: later.editor.act, form: 'spec', disabled: busy }}
    >
      <form
        id="spec"
        noValidate
        class="panes"
        onSubmit={(event) => {
          event.preventDefault();
          void save();
        }}
      >
        <div>
          {draft.found && (
            <div class={`${bannerCss.banner} ${css.kept}`} role="status">
              <p>{words.draftFound}</p>
              <button type="button" class="link" onClick={draft.drop}>
                {words.draftDrop}
              </button>
            </div>
          )}
          {sort === 'edit' && view && view.poured > 0 && (
            <div class={css.poured}>
              <p>
                <b>{later.editor.pouredTitle(view.poured)}</b> {later.editor.pouredWhy}
              </p>
              <label class={tickboxCss.tickbox}>
                <input
                  type="checkbox"
                  checked={form.slip}
                  onChange={(event) => set({ slip: event.currentTarget.checked })}
                />{' '}
                {later.editor.slip}
              </label>
              <a class="link" href={`/specs/${view.id}/riff`}>
                {later.spec.riff}
              </a>
            </div>
          )}
          {sort !== 'edit' && (
            <Field
              label={later.editor.drink}
              value={form.drink}
              onInput={(drink) => set({ drink })}
              help={drinkHelp}
              offers={drinks.map((drink) => drink.name)}
            />
          )}
          <Field
            label={later.editor.name}
            value={form.name}
            onInput={(name) => set({ name })}
            help={later.editor.nameHelp}
          />

          <TypedLines
            form={form}
            reading={reading}
            refused={refused}
            tried={tried}
            onLines={(lines) => set({ lines })}
          />
          {tried && wrong.lines && <Alert text={later.editor.nothing} />}
          {tried && unread > 0 && <Alert text={later.editor.linesWrong(unread)} />}
          {refused && refused.line === undefined && <Alert text={refused.text} />}
          {inParts && (
            <Field
              label={later.editor.part}
              inputMode="decimal"
              value={form.total}
              onInput={(text) => set({ total: text })}
              error={tried && wrong.total ? later.editor.partBad(form.total) : undefined}
            />
          )}
          <div class={fieldCss.twofields}>
            <Select
              label={later.editor.method}
              value={form.method}
              onChange={(method) => set({ method })}
              options={[['', later.editor.unset], ...methods.map((key) => [key, words.method(key)] as const)]}
            />
            <Field
              label={later.editor.ice}
              value={form.ice}
              onInput={(ice) => set({ ice })}
              offers={later.editor.ices}
            />
          </div>
          <div class={fieldCss.twofields}>
            <Field
              label={later.editor.glass}
              value={form.glass}
              onInput={(glass) => set({ glass })}
              offers={later.editor.glasses}
            />
            <Field label={later.editor.garnish} value={form.garnish} onInput={(garnish) => set({ garnish })} />
          </div>
          <Field label={later.editor.note} rows={3} value={form.note} onInput={(note) => set({ note })} />
        </div>
        <aside class={css.live} aria-label={later.editor.live}>
          {reading.balance ? (
            <>
              <BalancePanel balance={reading.balance} heading={later.editor.live} />
              {reading.alcohol && (
                <p class={`quiet ${toneCss.plain} key`}>{later.editor.glassOf(standardDrinks(reading.alcohol))}</p>
              )}
            </>
          ) : (
            <p class="quiet">{later.editor.livePrompt}</p>
          )}
        </aside>
      </form>
    </Frame>
  );
}

interface LinesProps {
  form: Form;
  reading: Reading;
  refused: Refused | null;
  tried: boolean;
  onLines: (lines: FormLine[]) => void;
}

/** One field a line: Enter begins the next, Backspace in an empty one goes back. */
function TypedLines({ form, reading, refused, tried, onLines }: LinesProps) {
  const list = useRef<HTMLOListElement>(null);
  const [wanted, setWanted] = useState<string | null>(null);
  const [focused, setFocused] = useState<number | null>(null);
  useLayoutEffect(() => {
    if (wanted === null) return; // before the next key arrives

    list.current?.querySelector<HTMLElement>(`#${wanted}`)?.focus();
    setWanted(null);
  }, [wanted, form.lines]);

  const begin = (after: number) => {
    const added = addLine(form.lines, after);
    onLines(added.lines);
    setWanted(`line-${added.key}`);
  };
  const move = (key: number, by: -1 | 1, from: string) => {
    onLines(moveLine(form.lines, key, by));
    setWanted(from); // whoever moves it goes along
  };
  const key = (event: KeyboardEvent, line: FormLine, at: number) => {
    if (event.isComposing) return;
    if (event.key === 'Enter') {
      event.preventDefault();
      const next = form.lines[at + 1];
      if (line.typed.trim() === '' || (next && next.typed.trim() === '')) setWanted(`line-${(next ?? line).key}`);
      else begin(line.key);
    } else if (event.key === 'Backspace' && line.typed === '' && form.lines.length > 1) {
      event.preventDefault();
      onLines(removeLine(form.lines, line.key));
      setWanted(`line-${(form.lines[at - 1] ?? form.lines[at + 1])?.key}`);
    } else if (event.altKey && (event.key === 'ArrowUp' || event.key === 'ArrowDown')) {
      event.preventDefault();
      move(line.key, event.key === 'ArrowUp' ? -1 : 1, `line-${line.key}`);
    }
  };
  return (
    <fieldset class={`part ${css.typed}`} aria-describedby="lines-help">
      <legend>{later.editor.lines}</legend>
      <p class="quiet" id="lines-help">
        {later.editor.linesHelp}
      </p>
      <ol ref={list}>
        {form.lines.map((line, at) => {
          const read = reading.lines[at] ?? null;
          const own = refused?.line === line.key ? refused.text : null;
          const told =
            own ?? (read && !read.ok && (tried || reading.settled || focused !== line.key) ? read.refusal.text : null);
          const good = read?.ok && (read.lines ?? []).length > 0 ? read.lines : null;
          return (
            <li key={line.key} class={`${fieldCss.field} ${css.typedline}`} data-bad={told ? '' : undefined}>
              <label class="unseen" for={`line-${line.key}`}>
                {later.editor.line(at + 1)}
              </label>
              <div class={css.typedrow}>
                <input
                  id={`line-${line.key}`}
                  value={line.typed}
                  placeholder={later.editor.example[at % later.editor.example.length]}
                  autocomplete="off"
                  autocapitalize="none"
                  spellcheck={false}
                  enterkeyhint="next"
                  aria-invalid={told ? 'true' : undefined}
                  aria-describedby={told ? `line-${line.key}-e` : good ? `line-${line.key}-r` : undefined}
                  onInput={(event) => onLines(typeLine(form.lines, line.key, event.currentTarget.value))}
                  onPaste={(event) => {
                    const text = event.clipboardData?.getData('text/plain') ?? '';
                    if (!/[\r\n]/.test(text.trim())) return; // an input would swallow the line breaks
                    event.preventDefault();
                    const { selectionStart, selectionEnd, value } = event.currentTarget;
                    onLines(
                      typeLine(
                        form.lines,
                        line.key,
                        value.slice(0, selectionStart ?? value.length) +
                          text.trim() +
                          value.slice(selectionEnd ?? value.length),
                      ),
                    );
                  }}
                  onKeyDown={(event) => key(event, line, at)}
                  onFocus={() => setFocused(line.key)}
                  onBlur={() => setFocused(null)}
                />
                {at > 0 && (
                  <button
                    type="button"
                    class="btn"
                    id={`up-${line.key}`}
                    aria-label={later.editor.moveLineUp(at + 1)}
                    onClick={() => move(line.key, -1, at > 1 ? `up-${line.key}` : `line-${line.key}`)}
                  >
                    ↑
                  </button>
                )}
                <button
                  type="button"
                  class="btn"
                  aria-label={later.editor.removeLine(at + 1)}
                  onClick={() => onLines(removeLine(form.lines, line.key))}
                >
                  ×
                </button>
              </div>
              {told && (
                <p class={alertCss.err} id={`line-${line.key}-e`}>
                  <Mark shape="triangle" />
                  <span>{told}</span>
                </p>
              )}
              {read && !read.ok && (
                <RewriteButtons
                  typed={line.typed}
                  refusal={read.refusal}
                  method={form.method}
                  onRewrite={(text) => onLines(typeLine(form.lines, line.key, text))}
                  onAgain={() => backTo(list.current?.querySelector<HTMLInputElement>(`#line-${line.key}`))}
                />
              )}
              {good && !told && (
                <p class="quiet" id={`line-${line.key}-r`}>
                  <ReadingLine lines={good} />
                </p>
              )}
            </li>
          );
        })}
      </ol>
      <button type="button" class="btn" onClick={() => begin(form.lines[form.lines.length - 1]?.key ?? -1)}>
        {later.editor.addLine}
      </button>
    </fieldset>
  );
}
