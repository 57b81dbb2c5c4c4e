import type { Balance, BalanceKey, Figure } from '../../../shared/core.ts';
import { band, decimal, figure } from '../../format.ts';
import { later, words } from '../../words.ts';
import { shown, unknownIn } from './otherwise.ts';
import * as linedCss from '../../parts/lined.module.css';
import * as toneCss from '../../parts/tone.module.css';
import * as otherwiseCss from './otherwise.module.css';

/** Two glasses, figure by figure, each with its band, and where they lie against the usual range. */
export function TwoGlasses({
  caption,
  first,
  second,
  a,
  b,
  keys = shown,
}: {
  caption: string;
  first: string;
  second: string;
  a: Balance;
  b: Balance;
  keys?: readonly (typeof shown)[number][];
}) {
  return (
    <>
      <div class={otherwiseCss.wideframe} role="region" aria-label={caption} tabIndex={0}>
        <table class={otherwiseCss.glasses}>
          <caption class="unseen">{caption}</caption>
          <thead>
            <tr>
              <th scope="col">{later.otherwise.figure}</th>
              <th scope="col" class="n">
                {first}
              </th>
              <th scope="col" class="n">
                {second}
              </th>
            </tr>
          </thead>
          <tbody>
            {keys.map((key) => (
              <tr key={key}>
                <th scope="row">
                  {words.balance.label[key]} <span class="quiet">{words.balance.unit[key]}</span>
                  <Usual a={a} b={b} of={key} />
                </th>
                <Cell figure={a.after[key]} balance={a} of={key} />
                <Cell figure={b.after[key]} balance={b} of={key} />
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      {unknownIn(b).map((remark) => (
        <p key={remark.code} class="quiet key">
          {words.remark(remark.code, remark.names)}
        </p>
      ))}
    </>
  );
}

/** The usual range; two ways of making it may have two. */
function Usual({ a, b, of }: { a: Balance; b: Balance; of: BalanceKey }) {
  const ranges = new Set(
    [a.usual[of], b.usual[of]].map((it) => (it ? `${decimal(it.lo, 2, 0)}–${decimal(it.hi, 2, 0)}` : '')),
  );
  const said = [...ranges].filter(Boolean);
  return (
    <span class={`quiet ${linedCss.lined}`}>
      {said.length === 0 ? words.balance.noRange : later.otherwise.usual(said)}
    </span>
  );
}

function Cell({ figure: f, balance, of }: { figure: Figure; balance: Balance; of: BalanceKey }) {
  const sure = band(f);
  const verdict = balance.verdict[of] ?? '';
  return (
    <td class="n">
      {figure(f)}
      {sure && <span class={`quiet ${linedCss.lined}`}>{sure}</span>}
      {verdict && (
        <span class={`${linedCss.lined} ${otherwiseCss.judged} ${verdict === 'in' ? toneCss.ok : toneCss.look}`}>
          {words.balance.verdict[verdict]}
        </span>
      )}
    </td>
  );
}
