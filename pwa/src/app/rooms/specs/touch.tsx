import type { Balance, SpecView, TouchesAnswer } from '../../../shared/core.ts';
import { useAnswer } from '../../core-client.ts';
import { standardDrinks, tight } from '../../format.ts';
import { Frame } from '../../frame.tsx';
import { specTitle } from '../../parts/spec-name.ts';
import { Waiting } from '../../parts/waiting.tsx';
import type { Params } from '../../router.ts';
import { later, words } from '../../words.ts';
import { TwoGlasses } from './figures.tsx';
import { moved } from './otherwise.ts';
import { SaveRiff } from './save-riff.tsx';
import * as otherwiseCss from './otherwise.module.css';

const sorts = ['dashes', 'spiced', 'bitter'] as const;

/** /specs/<id>/touch: what the glass would be with a little of something strong in taste. */
export function Touch({ params }: { params: Params }) {
  const id = params.id ?? '';
  const spec = useAnswer({ q: 'spec', id });
  const touches = useAnswer({ q: 'touches', spec: id });
  const view = spec.answer;
  return (
    <Frame title={later.touch.title} {...(view ? { sub: specTitle(view) } : {})} away={`/specs/${id}`}>
      {spec.refusal ? (
        <p role="alert">{words.notThere}</p>
      ) : !view || !touches.answer ? (
        <Waiting slow={spec.slow || touches.slow} fault={spec.fault ?? touches.fault} />
      ) : (
        <Rows view={view} answer={touches.answer} />
      )}
    </Frame>
  );
}

function Rows({ view, answer }: { view: SpecView; answer: TouchesAnswer }) {
  if (answer.rows.length === 0) return <p>{later.touch.none}</p>;
  return (
    <>
      <p>{later.touch.what}</p>
      <p class="quiet">{later.otherwise.nothing}</p>
      {sorts.map((sort) => {
        const rows = answer.rows.filter((row) => row.sort === sort);
        if (rows.length === 0) return null;
        return (
          <section key={sort} class="part">
            <h2>{later.touch.sort[sort]}</h2>
            <div class={otherwiseCss.besides}>
              {rows.map((row) => (
                <article key={row.typed}>
                  <h3>{tight(row.typed)}</h3>
                  <p class="quiet">{later.touch.marking(row.marking)}</p>
                  <Moved before={answer.before} row={row} />
                  <p class="quiet key">{later.spec.alcohol(standardDrinks(row.alcohol))}</p>
                  <SaveRiff view={view} lines={row.all} what={row.typed} />
                </article>
              ))}
            </div>
          </section>
        );
      })}
    </>
  );
}

/** Only what moves: a touch leaves most of a glass as it is. */
function Moved({ before, row }: { before: Balance; row: TouchesAnswer['rows'][number] }) {
  const keys = moved(before, row.balance);
  if (keys.length === 0) return <p>{later.touch.still}</p>;
  return (
    <TwoGlasses
      caption={later.otherwise.table(row.typed)}
      first={later.otherwise.now}
      second={later.otherwise.then}
      a={before}
      b={row.balance}
      keys={keys}
    />
  );
}
