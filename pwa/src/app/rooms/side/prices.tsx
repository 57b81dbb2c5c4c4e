import type { Finding } from '../../../shared/core.ts';
import { money } from '../../format.ts';
import { later } from '../../words.ts';
import { box, type Dot, plotOf, priced, unpriced } from './plot.ts';
import { named, signed } from '../../parts/pairing.ts';
import { between } from './say.ts';
import * as linedCss from '../../parts/lined.module.css';
import * as scaleCss from '../../parts/scale.module.css';
import * as whyCss from '../../parts/why.module.css';
import * as css from './style.module.css';

/** Score against the price of a glass, drawn and as a table. A price by the point stands only where the core gives one. */
export function Prices({ findings }: { findings: readonly Finding[] }) {
  if (!findings.some(({ tasted }) => tasted > 0)) return null;
  const plot = plotOf(findings);
  const without = unpriced(findings).map(({ names }) => named(names));
  return (
    <section class="part">
      <h2>{later.compared.prices}</h2>
      {plot ? (
        <>
          <p class="quiet">{later.compared.pricesHelp}</p>
          <Drawing findings={findings} />
          <Table title={later.compared.priceFront} dots={plot.dots.filter(({ finding }) => finding.on_front)} />
          <details class={`${whyCss.why} ${css.aired}`}>
            <summary>{later.compared.priceTable}</summary>
            <Table title={later.compared.pairing} dots={plot.dots} />
          </details>
          {without.length > 0 && <p class="quiet">{later.compared.unpriced(without.join('; '))}</p>}
        </>
      ) : (
        <>
          <p class="quiet">{priced(findings).length > 0 ? later.compared.pricesUntasted : later.compared.pricesNone}</p>
          <p>
            <a class="link" href="/bottles">
              {later.compared.toBottles}
            </a>
          </p>
        </>
      )}
    </section>
  );
}

function Drawing({ findings }: { findings: readonly Finding[] }) {
  const plot = plotOf(findings);
  if (!plot) return null;
  const currency = plot.dots[0]?.finding.currency ?? '';
  const front = plot.dots.filter(({ finding }) => finding.on_front).map(({ finding }) => named(finding.names));
  return (
    <figure class={css.plotted}>
      <p class="quiet">{later.compared.pointAxis}</p>
      <svg
        class={css.plot}
        viewBox={`0 0 ${box.width} ${box.height}`}
        role="img"
        aria-label={later.compared.plotSaid(plot.dots.length, front.join('; '))}
      >
        <path class={scaleCss.sAxis} d={`M${box.left} ${box.top}V${box.bottom}H${box.right}`} />
        <path class={`${scaleCss.sAxis} ${scaleCss.dashed}`} d={`M${box.left} ${plot.zero}H${box.right}`} />
        {plot.points.map(({ at, d }) => (
          <g key={d}>
            <path class={scaleCss.sTick} d={`M${box.left} ${at}h6`} />
            <text class={scaleCss.sText} x={box.left - 6} y={at} dy="0.35em" text-anchor="end">
              {signed(d)}
            </text>
          </g>
        ))}
        {plot.prices.map(({ at, minor }) => (
          <g key={minor}>
            <path class={scaleCss.sTick} d={`M${at} ${box.bottom}v-6`} />
            <text class={scaleCss.sText} x={at} y={box.bottom} dy="1.25em" text-anchor="middle">
              {money(Math.round(minor), currency)}
            </text>
          </g>
        ))}
        <path class={css.whisker} d={plot.front} />
        {plot.dots.map((it) => (
          <g key={it.no}>
            {it.finding.on_front ? (
              <path class={scaleCss.sDot} d={`M${it.x - 5} ${it.y - 5}h10v10h-10z`} />
            ) : (
              <circle class={scaleCss.sDot} cx={it.x} cy={it.y} r="3.5" />
            )}
            <text
              class={`${scaleCss.sText} ${scaleCss.no}`}
              x={it.label.x}
              y={it.label.y}
              text-anchor={it.label.end ? 'end' : 'start'}
            >
              {it.no}
            </text>
          </g>
        ))}
      </svg>
      <p class="quiet end">{later.compared.priceAxis}</p>
    </figure>
  );
}

function Table({ title, dots }: { title: string; dots: readonly Dot[] }) {
  return (
    <table class={css.prices}>
      <thead>
        <tr>
          <th scope="col">{title}</th>
          <th scope="col" class="n">
            {later.compared.glass}
          </th>
          <th scope="col" class="n">
            {later.compared.points}
          </th>
        </tr>
      </thead>
      <tbody>
        {dots.map(({ no, finding: it }) => (
          <tr key={no}>
            <th scope="row">
              {no}. {named(it.names)}
              {it.per_point_minor !== null && (
                <span class={`quiet ${linedCss.lined}`}>
                  {it.per_point_minor > 0
                    ? later.compared.perPoint(money(it.per_point_minor, it.currency))
                    : later.compared.noDearer}
                </span>
              )}
            </th>
            <td class="n">{money(it.price_minor ?? 0, it.currency)}</td>
            <td class="n">
              {it.benchmark ? later.compared.verdict.benchmark : signed(it.d ?? 0)}
              {!it.benchmark && it.lo !== null && it.hi !== null && (
                <span class={`quiet ${linedCss.lined}`}>{between(it.lo, it.hi)}</span>
              )}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}
