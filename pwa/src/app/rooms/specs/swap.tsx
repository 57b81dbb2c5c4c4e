import { useState } from 'preact/hooks';
import type { Balance, Id, LineView, SpecView, Way, WaysAnswer } from '../../../shared/core.ts';
import { useAnswer } from '../../core-client.ts';
import { decimal, detailsOf, ml, percent, standardDrinks, tight } from '../../format.ts';
import { Frame } from '../../frame.tsx';
import { useDraft } from '../../parts/draft.ts';
import { Field } from '../../parts/field.tsx';
import { findIn } from '../../parts/find.ts';
import { specTitle } from '../../parts/spec-name.ts';
import { Waiting } from '../../parts/waiting.tsx';
import type { Params } from '../../router.ts';
import { later, words } from '../../words.ts';
import { TwoGlasses } from './figures.tsx';
import { type Choice, few } from './otherwise.ts';
import { SaveRiff } from './save-riff.tsx';
import * as linedCss from '../../parts/lined.module.css';
import * as otherwiseCss from './otherwise.module.css';

/** /specs/<id>/swap and /specs/<id>/swap/<line>: another ingredient in one line, and the ways to keep the balance. */
export function Swap({ params }: { params: Params }) {
  const id = params.id ?? '';
  const { answer: view, slow, fault, refusal } = useAnswer({ q: 'spec', id });
  const line = view?.lines.find((it) => it.id === params.line);
  return (
    <Frame
      title={later.swap.title}
      {...(view ? { sub: specTitle(view) } : {})}
      away={params.line ? `/specs/${id}/swap` : `/specs/${id}`}
    >
      {refusal || (view && params.line && !line) ? (
        <p role="alert">{words.notThere}</p>
      ) : !view ? (
        <Waiting slow={slow} fault={fault} />
      ) : line ? (
        <OfLine key={line.id} view={view} line={line} />
      ) : (
        <WhichLine view={view} />
      )}
    </Frame>
  );
}

function WhichLine({ view }: { view: SpecView }) {
  if (view.lines.length === 0) return <p>{later.swap.noLines}</p>;
  return (
    <section class="part">
      <h2>{later.swap.which}</h2>
      <ul>
        {view.lines.map((line) => (
          <li key={line.id}>
            <a class={`row ${otherwiseCss.lineof}`} href={`/specs/${view.id}/swap/${line.id}`}>
              {tight(line.typed)}
            </a>
          </li>
        ))}
      </ul>
    </section>
  );
}

/** What was typed and chosen for this line; it is kept on this device. */
interface Kept {
  find: string;
  chosen: string;
}

function readKept(kept: unknown): Kept | null {
  if (typeof kept !== 'object' || kept === null) return null;
  const { find, chosen } = kept as Record<string, unknown>;
  return typeof find === 'string' && typeof chosen === 'string' ? { find, chosen } : null;
}

function OfLine({ view, line }: { view: SpecView; line: LineView }) {
  const kept = useDraft<Kept>(`swap.${view.id}.${line.id}`, () => ({ find: '', chosen: '' }), readKept);
  const { answer, slow, fault, refusal } = useAnswer({ q: 'ways', spec: view.id, line: line.id });
  return (
    <>
      <p>{later.swap.instead(tight(line.typed))}</p>
      {refusal ? (
        <p role="alert">{refusal.text}</p>
      ) : !answer || !kept.value ? (
        <Waiting slow={slow} fault={fault} />
      ) : (
        <>
          <Choose answer={answer} kept={kept.value} onChange={kept.set} />
          {kept.value.chosen === '' ? (
            <Ways view={view} answer={answer} />
          ) : (
            <WaysOf key={kept.value.chosen} view={view} line={line} ingredient={kept.value.chosen} />
          )}
        </>
      )}
    </>
  );
}

/** Mounted anew for each ingredient, so that the ways of one never stand under another. */
function WaysOf({ view, line, ingredient }: { view: SpecView; line: LineView; ingredient: Id }) {
  const { answer, slow, fault, refusal } = useAnswer({ q: 'ways', spec: view.id, line: line.id, ingredient });
  if (refusal) return <p role="alert">{refusal.text}</p>;
  if (!answer) return <Waiting slow={slow} fault={fault} />;
  if (answer.ways.length === 0) return <p role="status">{later.swap.none}</p>;
  return <Ways view={view} answer={answer} />;
}

function Choose({ answer, kept, onChange }: { answer: WaysAnswer; kept: Kept; onChange: (next: Kept) => void }) {
  const [all, setAll] = useState(false);
  const chosen = answer.choices.find((it) => it.ingredient === kept.chosen);
  if (answer.choices.length === 0) return <p>{later.swap.noChoices}</p>;
  if (chosen) {
    return (
      <section class="part">
        <h2>{later.swap.by}</h2>
        <p class={otherwiseCss.chosen}>
          <b>{tight(chosen.name)}</b> <span class="quiet">{figuresOf(chosen)}</span>
        </p>
        <button type="button" class="btn" onClick={() => onChange({ ...kept, chosen: '' })}>
          {later.swap.another}
        </button>
      </section>
    );
  }
  const found = findIn(answer.choices, kept.find);
  const listed = all || kept.find.trim() !== '' ? found : found.slice(0, few);
  return (
    <section class="part">
      <h2 id="by">{later.swap.by}</h2>
      {answer.choices.length > few && (
        <Field label={words.find} type="search" value={kept.find} onInput={(find) => onChange({ ...kept, find })} />
      )}
      {found.length === 0 && <p role="status">{words.nothingFound(kept.find)}</p>}
      <ul aria-labelledby="by">
        {listed.map((it) => (
          <li key={it.ingredient}>
            <button
              type="button"
              class={`row ${otherwiseCss.choice}`}
              onClick={() => onChange({ ...kept, chosen: it.ingredient })}
            >
              <span>
                {tight(it.name)}
                {it.own && <span class={`quiet ${linedCss.lined}`}>{later.swap.own}</span>}
              </span>
              <span class="quiet end">{figuresOf(it)}</span>
            </button>
          </li>
        ))}
      </ul>
      {listed.length < found.length && (
        <button type="button" class="btn" onClick={() => setAll(true)}>
          {later.swap.all(found.length)}
        </button>
      )}
    </section>
  );
}

/** What is known of an ingredient; what is not is said to be unknown. */
function figuresOf(it: Choice): string {
  return detailsOf([
    it.abv_percent === null
      ? later.swap.strengthUnknown
      : it.abv_percent === 0
        ? ''
        : later.swap.strength(percent(it.abv_percent)),
    it.sugar_g_per_100ml === null
      ? later.swap.sugarUnknown
      : it.sugar_g_per_100ml === 0
        ? ''
        : later.swap.sugar(decimal(it.sugar_g_per_100ml, 1, 0)),
    it.acid_percent === null
      ? later.swap.acidUnknown
      : it.acid_percent === 0
        ? ''
        : later.swap.acid(decimal(it.acid_percent, 2, 0)),
  ]);
}

function Ways({ view, answer }: { view: SpecView; answer: WaysAnswer }) {
  if (answer.ways.length === 0) return null;
  return (
    <section class="part">
      <h2>{later.swap.ways}</h2>
      <p class="quiet" role="status">
        {later.swap.found(answer.ways.length)} {later.otherwise.nothing}
      </p>
      <div class={otherwiseCss.besides}>
        {answer.ways.map((way) => (
          <WayPart key={way.way} view={view} way={way} before={answer.before} />
        ))}
      </div>
    </section>
  );
}

function WayPart({ view, way, before }: { view: SpecView; way: Way; before: Balance }) {
  const name = later.swap.way[way.way];
  return (
    <article>
      <h3>{name}</h3>
      <ul class={otherwiseCss.changes} data-testid="changes">
        {way.lines.map((it, i) => (
          <li key={i}>{later.swap.change(tight(it.was), tight(it.typed))}</li>
        ))}
      </ul>
      {way.weigh.map((it) => (
        <p key={it.acid}>{later.swap.weigh(later.swap.acids(it.acid), decimal(it.grams, 2, 0))}</p>
      ))}
      {way.batch_ml !== null && <p class="quiet">{later.swap.batch(ml(way.batch_ml))}</p>}
      {way.notes.map((code) => {
        const text = later.swap.note(code);
        return text && <p key={code}>{text}</p>;
      })}
      <TwoGlasses
        caption={later.otherwise.table(name)}
        first={later.otherwise.now}
        second={later.otherwise.then}
        a={before}
        b={way.balance}
      />
      <p class="quiet key">{later.spec.alcohol(standardDrinks(way.alcohol))}</p>
      <SaveRiff view={view} lines={way.all} what={name} />
    </article>
  );
}
