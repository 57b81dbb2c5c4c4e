import type { ComparisonAnswer, Effect } from '../../../shared/core.ts';
import { listOf, money } from '../../format.ts';
import { save } from '../../parts/saved.tsx';
import { later, words } from '../../words.ts';
import { signed } from '../../parts/pairing.ts';
import { between, nameOf, reach } from './say.ts';
import * as scaleCss from '../../parts/scale.module.css';
import * as tickboxCss from '../../parts/tickbox.module.css';
import * as whyCss from '../../parts/why.module.css';
import * as css from './style.module.css';

type Swap = ComparisonAnswer['swaps'][number];

/** What each that may stand in one line adds, all on one axis; and which of them take part. */
export function Effects({ swap, scored }: { swap: Swap; scored: boolean }) {
  const end = reach(swap.effects.flatMap(({ lo, hi }) => [lo, hi]));
  return (
    <section class="part">
      <h2>
        {!scored
          ? `${later.compared.candidates} ${swap.addition ? later.compared.added : later.compared.instead(swap.line_name)}`
          : swap.addition
            ? later.compared.addsTo
            : later.compared.adds(swap.line_name)}
      </h2>
      <ul class={scored ? css.adds : `${css.adds} ${css.bareList}`}>
        {swap.effects.map((it) => (
          <li key={it.candidate}>{scored ? <Adds effect={it} end={end} /> : <Named effect={it} />}</li>
        ))}
      </ul>
      {scored && (
        <p class={`${css.ends} quiet`} aria-hidden="true">
          <span>{signed(-end)}</span>
          <span>{later.compared.axisMiddle}</span>
          <span>{signed(end)}</span>
        </p>
      )}
      {swap.effects.length > 2 && <Bench swap={swap} />}
    </section>
  );
}

const Named = ({ effect }: { effect: Effect }) => (
  <p>
    {nameOf(effect)}{' '}
    <span class="quiet">
      {[effect.benchmark && later.compared.isBenchmark, effect.benched && later.compared.benched]
        .filter(Boolean)
        .join(' · ')}
    </span>
  </p>
);

function Adds({ effect, end }: { effect: Effect; end: number }) {
  const { benchmark, d, lo, hi } = effect;
  return (
    <>
      <p>{nameOf(effect)}</p>
      <p class="end">
        {benchmark ? (
          <span class="quiet">{later.compared.isBenchmark}</span>
        ) : (
          <span class={css.celld}>{signed(d)}</span>
        )}
      </p>
      <Whisker d={d} lo={lo} hi={hi} end={end} benchmark={benchmark} open={effect.tasted === 0} />
      <p class="quiet">
        {[
          benchmark ? '' : between(lo, hi),
          effect.tasted === 0 ? later.compared.state.untasted : later.compared.tastings(effect.tasted),
          effect.benched ? later.compared.benched : '',
          effect.price_minor === null ? '' : later.compared.inGlass(money(effect.price_minor, effect.currency)),
          listOf(effect.terms.map(({ term, n }) => later.compared.times(words.flavour(term), n))),
        ]
          .filter(Boolean)
          .join(' · ')}
      </p>
    </>
  );
}

/** One value with what is likely, from one end of the axis to the other; the upright line is nought. */
export function Whisker({
  d,
  lo,
  hi,
  end,
  benchmark = false,
  open = false,
}: {
  d: number;
  lo: number;
  hi: number;
  end: number;
  benchmark?: boolean;
  /** Nothing was tasted of it: a ring instead of a level. */
  open?: boolean;
}) {
  const x = (value: number) => Math.round((100 + (value / end) * 100) * 10) / 10;
  return (
    <svg class={css.addscale} viewBox="0 0 200 16" preserveAspectRatio="none" aria-hidden="true">
      <path class={scaleCss.sAxis} d="M0 14H200M100 0V16" />
      {!benchmark && <path class={css.whisker} d={`M${x(lo)} 7H${x(hi)}M${x(lo)} 4v6M${x(hi)} 4v6`} />}
      <path
        class={open ? `${scaleCss.sLevel} ${scaleCss.open}` : scaleCss.sLevel}
        d={`M${x(d)} ${benchmark ? '2v12' : '2v10'}`}
      />
    </svg>
  );
}

/** Who takes part in flights: away from the figures, which stay. */
function Bench({ swap }: { swap: Swap }) {
  return (
    <details class={`${whyCss.why} ${css.aired} unprinted`}>
      <summary>{later.compared.bench}</summary>
      <p class="quiet">{later.compared.benchHelp}</p>
      {swap.effects
        .filter(({ benchmark }) => !benchmark)
        .map((it) => (
          <label key={it.candidate} class={tickboxCss.tickbox}>
            <input type="checkbox" checked={!it.benched} onChange={() => void bench(it)} />
            {nameOf(it)}
          </label>
        ))}
    </details>
  );
}

const bench = (effect: Effect) => {
  const to = (benched: boolean) => ({ do: 'edit', id: effect.candidate, kind: 'candidate', set: { benched } }) as const;
  return save(to(!effect.benched), later.compared.benchSaved(nameOf(effect), !effect.benched), () =>
    to(effect.benched),
  );
};
