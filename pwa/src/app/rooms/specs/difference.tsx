import type { DifferenceAnswer, Id, SpecRow, SpecView } from '../../../shared/core.ts';
import { useAnswer } from '../../core-client.ts';
import { tight } from '../../format.ts';
import { Frame } from '../../frame.tsx';
import { Select } from '../../parts/field.tsx';
import { specTitle } from '../../parts/spec-name.ts';
import { Waiting } from '../../parts/waiting.tsx';
import { go, type Params } from '../../router.ts';
import { later, words } from '../../words.ts';
import { versionName } from './list.tsx';
import { TwoGlasses } from './figures.tsx';
import { amountIn, otherOf } from './otherwise.ts';
import * as linedCss from '../../parts/lined.module.css';
import * as otherwiseCss from './otherwise.module.css';

/** /specs/<id>/difference and /specs/<id>/difference/<other>: two versions of a drink line by line. */
export function Difference({ params }: { params: Params }) {
  const id = params.id ?? '';
  const { answer: view, slow, fault, refusal } = useAnswer({ q: 'spec', id });
  const other = params.other ?? (view ? otherOf(view) : null);
  return (
    <Frame title={later.difference.title} {...(view ? { sub: specTitle(view) } : {})} away={`/specs/${id}`}>
      {refusal ? (
        <p role="alert">{words.notThere}</p>
      ) : !view ? (
        <Waiting slow={slow} fault={fault} />
      ) : other === null ? (
        <>
          <p>{later.difference.alone}</p>
          <a class="btn" href={`/specs/${id}/riff`}>
            {later.spec.riff}
          </a>
        </>
      ) : (
        <Two view={view} other={other} />
      )}
    </Frame>
  );
}

function Two({ view, other }: { view: SpecView; other: Id }) {
  const options = view.tree.map(({ row }) => [row.id, versionName(row)] as const);
  const show = (a: Id, b: Id) => go(`/specs/${a}/difference/${b}`, true);
  return (
    <>
      <div class={otherwiseCss.pair}>
        <Select
          label={later.difference.first}
          value={view.id}
          options={options}
          onChange={(id) => show(id, id === other ? view.id : other)}
        />
        <Select
          label={later.difference.second}
          value={other}
          options={options}
          onChange={(id) => show(id === view.id ? other : view.id, id)}
        />
      </div>
      <Asked key={`${view.id} ${other}`} a={view.id} b={other} />
    </>
  );
}

/** Mounted anew for each two, so that no table stands under the names of others. */
function Asked({ a, b }: { a: Id; b: Id }) {
  const { answer, slow, fault, refusal } = useAnswer({ q: 'difference', a, b });
  if (refusal) return <p role="alert">{words.notThere}</p>;
  return answer ? <Compared answer={answer} /> : <Waiting slow={slow} fault={fault} />;
}

function Compared({ answer }: { answer: DifferenceAnswer }) {
  const [first, second] = headsOf(answer.a, answer.b);
  const same = answer.words.length === 0 && answer.rows.every((row) => row.sort === '');
  return (
    <>
      {same && <p role="status">{later.difference.same}</p>}
      <section class="part">
        <h2>{later.difference.lines}</h2>
        <div class={otherwiseCss.wideframe} role="region" aria-label={later.difference.table} tabIndex={0}>
          <table class={otherwiseCss.twosides}>
            <caption class="unseen">{later.difference.table}</caption>
            <thead>
              <tr>
                <th scope="col">{later.difference.what}</th>
                <th scope="col">{first}</th>
                <th scope="col">{second}</th>
              </tr>
            </thead>
            <tbody>
              {answer.rows.map((row, i) => (
                <tr key={i} data-sort={row.sort || 'same'}>
                  <th scope="row">
                    {tight(row.name)}
                    <span class={`quiet ${linedCss.lined}`}>{later.difference.sort[row.sort]}</span>
                  </th>
                  <td>{tight(amountIn(row, 'a')) || later.difference.absent}</td>
                  <td>{tight(amountIn(row, 'b')) || later.difference.absent}</td>
                </tr>
              ))}
              {answer.words.map((it) => {
                const said = (text: string) =>
                  text === '' ? later.spec.none : it.field === 'method' ? words.method(text) : text;
                return (
                  <tr key={it.field} data-sort="changed">
                    <th scope="row">
                      {later.spec.field[it.field] ?? later.difference.strain}
                      <span class={`quiet ${linedCss.lined}`}>{later.difference.sort.changed}</span>
                    </th>
                    <td>{said(it.a)}</td>
                    <td>{said(it.b)}</td>
                  </tr>
                );
              })}
            </tbody>
          </table>
        </div>
      </section>
      <section class="part">
        <h2>{words.balance.heading}</h2>
        <TwoGlasses
          caption={later.difference.balances}
          first={first}
          second={second}
          a={answer.balance_a}
          b={answer.balance_b}
        />
      </section>
    </>
  );
}

/** What the columns are called; two versions of one name are told apart by their place. */
function headsOf(a: SpecRow, b: SpecRow): [string, string] {
  const [first, second] = [versionName(a), versionName(b)];
  return first === second ? [`${first} (1)`, `${second} (2)`] : [first, second];
}
