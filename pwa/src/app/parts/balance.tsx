import { useState } from 'preact/hooks';
import type { Balance, BalanceKey, Figure, Share } from '../../shared/core.ts';
import { band, decimal, figure, ml } from '../format.ts';
import { words } from '../words.ts';
import { Measure } from './measure.tsx';
import * as balanceCss from './balance.module.css';
import * as beforeAfterCss from './before-after.module.css';
import * as linedCss from './lined.module.css';
import * as toneCss from './tone.module.css';
import * as whyCss from './why.module.css';

const order: readonly BalanceKey[] = [
  'abv_percent',
  'sugar_g_per_100ml',
  'acid_percent',
  'water_percent_of_start',
  'volume_ml',
];

function figureOf(balance: Balance, key: BalanceKey): Figure {
  return key === 'water_percent_of_start' ? balance.water_percent_of_start : balance.after[key];
}

/** The finished glass: five measures side by side, the family's usual range one strip through all of them. */
export function BalancePanel({ balance, heading = words.balance.heading }: { balance: Balance; heading?: string }) {
  const known = order.some((key) => balance.usual[key]);
  return (
    <section class="part">
      <h2>{heading}</h2>
      <div class={balanceCss.bal}>
        <ol>
          {order.map((key) => {
            const value = figureOf(balance, key);
            const usual = balance.usual[key] ?? null;
            const verdict = balance.verdict[key] ?? '';
            const edge = (n: number) => decimal(n, key === 'acid_percent' ? 2 : Number.isInteger(n) ? 0 : 1);
            return (
              <li key={key}>
                <span class={balanceCss.lab}>{words.balance.label[key]}</span>
                <Measure
                  figure={value}
                  usual={usual}
                  verdict={verdict}
                  labels={usual && { low: edge(usual.lo), high: edge(usual.hi) }}
                />
                <span class={`fig ${balanceCss.value}`}>
                  {value.v === null ? words.balance.dash : decimal(value.v, value.dec)}
                </span>
                <span class={balanceCss.unit}>{words.balance.unit[key]}</span>
                <span class={balanceCss.of}>
                  {value.v === null ? words.balance.unknown : value.at_least ? words.balance.orMore : band(value)}
                </span>
                <span
                  class={`${balanceCss.verdict} ${verdict === 'in' ? toneCss.ok : verdict === '' ? toneCss.soft : toneCss.look}`}
                >
                  {usual ? words.balance.verdict[verdict] : words.balance.noRange}
                </span>
              </li>
            );
          })}
        </ol>
      </div>
      <p class="quiet key unprinted">
        {known ? words.balance.key(words.method(balance.method)) : words.balance.noRangeKey}
      </p>
      <Coldest at={balance.coldest_c} />
      {balance.remarks.map((remark) => (
        <p key={remark.code} class="quiet key">
          {words.remark(remark.code, remark.names)}
        </p>
      ))}
      <Before balance={balance} />
      <Why balance={balance} />
    </section>
  );
}

function Coldest({ at }: { at: Figure }) {
  if (at.v === null) return null;
  const ends = at.lo === null || at.hi === null || at.lo === at.hi ? ['', ''] : [at.lo, at.hi];
  const [low = '', high = ''] = ends.map((end) => (typeof end === 'string' ? end : decimal(end, at.dec)));
  return <p class="quiet key unprinted">{words.balance.coldest(decimal(at.v, at.dec), low, high)}</p>;
}

const rows = ['volume_ml', 'abv_percent', 'alcohol_g', 'sugar_g_per_100ml', 'acid_percent'] as const;

/** The drink as it was poured and as it stands in the glass, each figure with its band. */
function Before({ balance }: { balance: Balance }) {
  return (
    <table class={`${beforeAfterCss.beforeafter} unprinted`}>
      <caption class="unseen">{words.balance.table}</caption>
      <thead>
        <tr>
          <th scope="col">{words.balance.poured}</th>
          <th scope="col" class="n">
            {words.balance.beforeIce}
          </th>
          <th scope="col" class="n">
            {words.balance.inGlass}
          </th>
        </tr>
      </thead>
      <tbody>
        {rows.map((key) => (
          <tr key={key}>
            <th scope="row">
              {words.balance.label[key]} <span class="quiet">{words.balance.unit[key]}</span>
            </th>
            <td class="n">
              {figure(balance.before[key])}
              {withBand(balance.before[key])}
            </td>
            <td class="n">
              {figure(balance.after[key])}
              {withBand(balance.after[key])}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

function withBand(f: Figure) {
  const text = band(f);
  return text ? <span class={`quiet ${linedCss.lined}`}>{text}</span> : null;
}

/** The figures that open, and the shares each is made of: strength is the alcohol in the glass. */
const whys = [
  ['abv_percent', 'alcohol_g'],
  ['sugar_g_per_100ml', 'sugar_g_per_100ml'],
  ['acid_percent', 'acid_percent'],
  ['volume_ml', 'volume_ml'],
  ['alcohol_g', 'alcohol_g'],
] as const;

/** Where a figure comes from: each line's share, what the ice adds, how it is reckoned and by whose figures. */
function Why({ balance }: { balance: Balance }) {
  const [open, setOpen] = useState<string | null>(null);
  return (
    <>
      {whys.map(([key, of]) => {
        const shares = balance.why[of];
        if (!shares || shares.length === 0) return null;
        const total = balance.after[key];
        return (
          <details
            key={key}
            class={`${whyCss.why} unprinted`}
            open={open === key}
            onToggle={(event) => {
              if (event.currentTarget.open) setOpen(key);
              else if (open === key) setOpen(null);
            }}
          >
            <summary>{words.balance.why(words.balance.label[key], figure(total))}</summary>
            <dl>
              {shares.map((share, i) => (
                <ShareRow key={i} share={share} unit={of === 'volume_ml' ? ml : inGrams} />
              ))}
              <dt class={whyCss.sum}>
                {words.balance.inVolume(
                  figure(balance.after.volume_ml),
                  figure(balance.before.volume_ml),
                  figure(balance.water_ml),
                )}
              </dt>
              <dd class={whyCss.sum}>{sum(shares)}</dd>
            </dl>
            <p class="quiet">{words.balance.how[key]}</p>
            <p class="quiet">{words.balance.basis[balance.basis]}</p>
          </details>
        );
      })}
    </>
  );
}

const inGrams = (amount: number): string => words.gramsOf(decimal(amount, 1));

function ShareRow({ share, unit }: { share: Share; unit: (amount: number) => string }) {
  const what = share.volume_ml === null || unit === ml ? share.name : `${share.name}, ${ml(share.volume_ml)}`;
  const strength = share.per_litre === null ? '' : words.balance.perLitre(decimal(share.per_litre, 0), share.typical);
  return (
    <>
      <dt>
        {what}
        {strength}
      </dt>
      <dd>{share.amount === null ? words.unknownDash : unit(share.amount)}</dd>
    </>
  );
}

/** The sum as the core counted it is the figure itself; here the shares are only set under a line. */
function sum(shares: readonly Share[]): string {
  return shares.some((share) => share.amount === null) ? words.balance.partly : words.balance.all;
}
