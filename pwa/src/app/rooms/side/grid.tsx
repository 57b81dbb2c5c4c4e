import { useState } from 'preact/hooks';
import type { ComparisonAnswer, Finding } from '../../../shared/core.ts';
import { Select } from '../../parts/field.tsx';
import { later, words } from '../../words.ts';
import { cut, gridOf, pickOf, turned, type View } from './pairings.ts';
import { signed } from '../../parts/pairing.ts';
import { behind, between, nameOf, reach, stateOf } from './say.ts';
import * as fieldCss from '../../parts/field.module.css';
import * as linedCss from '../../parts/lined.module.css';
import * as scaleCss from '../../parts/scale.module.css';
import * as css from './style.module.css';
import * as stateMarkCss from '../../state-mark.module.css';

/** So many rows and columns at first: more are drawn when they are asked for. */
const most = 12;

type Swap = ComparisonAnswer['swaps'][number];

const insteadOf = (swap: Swap): string =>
  swap.addition ? later.compared.added : later.compared.instead(swap.line_name);
const lineOf = (swap: Swap): string => (swap.addition ? later.compared.ofAdded : swap.line_name);

/** Every pairing of two swaps, each on the same small scale; of more swaps, two are chosen and the others held. */
export function Grid({ answer, view, onView }: { answer: ComparisonAnswer; view: View; onView: (view: View) => void }) {
  const [whole, setWhole] = useState(false);
  const all = gridOf(answer, view);
  if (!all) return null;
  const grid = whole ? all : cut(all, most);
  const less = grid.rows.length < all.rows.length || grid.columns.length < all.columns.length;
  const end = reach(answer.findings.flatMap(({ d, lo, hi }) => [d ?? 0, lo ?? 0, hi ?? 0]));
  return (
    <section class="part">
      <h2 id="pairings">{later.compared.every}</h2>
      {answer.scored > 0 && <p class="quiet">{later.compared.everyHelp}</p>}
      {answer.swaps.length > 2 && <Turn swaps={answer.swaps} view={view} onView={onView} />}
      <div class={css.gridframe} tabIndex={0} role="region" aria-labelledby="pairings">
        <table class={css.pairings}>
          <thead>
            <tr>
              <th rowSpan={2} scope="col">
                {insteadOf(grid.down)}
              </th>
              <th colSpan={grid.columns.length} scope="colgroup">
                <span class={css.stay}>{insteadOf(grid.across)}</span>
              </th>
            </tr>
            <tr>
              {grid.columns.map((it) => (
                <th key={it.candidate} class={css.col} scope="col">
                  {nameOf(it)}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {grid.rows.map(({ of, cells }) => (
              <tr key={of.candidate}>
                <th scope="row">{nameOf(of)}</th>
                {cells.map((cell, i) => {
                  const column = grid.columns[i];
                  return (
                    <td key={column?.candidate ?? i}>
                      <span class={`${css.celltop} quiet`} aria-hidden="true">
                        {column ? nameOf(column) : ''}
                      </span>
                      {cell ? <Cell finding={cell} end={end} /> : <Untasted />}
                    </td>
                  );
                })}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      {less && (
        <>
          <p class="quiet">{later.compared.cut(grid.rows.length, grid.columns.length)}</p>
          <button type="button" class="link" onClick={() => setWhole(true)}>
            {later.compared.cutAll(all.rows.length, all.columns.length)}
          </button>
        </>
      )}
    </section>
  );
}

function Turn({ swaps, view, onView }: { swaps: readonly Swap[]; view: View; onView: (view: View) => void }) {
  const lines = swaps.map((swap, i) => [String(i), lineOf(swap)] as const);
  return (
    <div class={fieldCss.twofields}>
      <Select
        label={later.compared.down}
        value={String(view.down)}
        options={lines}
        onChange={(to) => onView(turned(view, 'down', Number(to)))}
      />
      <Select
        label={later.compared.across}
        value={String(view.across)}
        options={lines}
        onChange={(to) => onView(turned(view, 'across', Number(to)))}
      />
      {swaps.map(
        (swap, i) =>
          i !== view.down &&
          i !== view.across && (
            <Select
              key={swap.id}
              label={swap.addition ? later.compared.fixedAdded : later.compared.fixed(swap.line_name)}
              value={view.fixed[i] ?? ''}
              options={swap.effects.map((it) => [pickOf(swap, it), nameOf(it)] as const)}
              onChange={(pick) => onView({ ...view, fixed: view.fixed.map((old, k) => (k === i ? pick : old)) })}
            />
          ),
      )}
    </div>
  );
}

/** A short line, and the word. */
const Untasted = () => (
  <span class={`quiet ${css.cellnone}`}>
    <svg width="12" height="12" viewBox="0 0 12 12" aria-hidden="true">
      <path class={stateMarkCss.mLine} d="M1 6h10" />
    </svg>
    {later.compared.state.untasted}
  </span>
);

function Cell({ finding, end }: { finding: Finding; end: number }) {
  const { benchmark, d, lo, hi } = finding;
  const uncertain = finding.tasted > 0 && finding.guess && !benchmark;
  const known = d !== null && !benchmark;
  if (d === null && !benchmark) return <Untasted />;
  return (
    <>
      {known && <span class={css.celld}>{signed(d)}</span>}
      {benchmark && <span class={css.cellown}>{words.specs.benchmark}</span>}
      {d !== null && <CellScale finding={finding} end={end} />}
      {known && lo !== null && hi !== null && <span class={`quiet ${linedCss.lined}`}>{between(lo, hi)}</span>}
      <span class={`quiet ${linedCss.lined}`}>
        {uncertain ? `${behind(finding)}, ${later.compared.guessShort}` : behind(finding)}
      </span>
    </>
  );
}

/** The benchmark in the middle; a full dot is tasted, a ring predicted. The words beside it say the same. */
function CellScale({ finding, end }: { finding: Finding; end: number }) {
  const { benchmark, d, lo, hi } = finding;
  const x = (value: number) => Math.round((48 + (value / end) * 42) * 10) / 10;
  return (
    <svg class={css.cellscale} viewBox="0 0 96 14" aria-hidden="true">
      <path class={scaleCss.sAxis} d="M4 13H92M48 3V13" />
      {!benchmark && lo !== null && hi !== null && <path class={css.whisker} d={`M${x(lo)} 6H${x(hi)}`} />}
      {benchmark ? (
        <path class={scaleCss.sLevel} d="M48 1V13" />
      ) : stateOf(finding) === 'tasted' ? (
        <circle class={scaleCss.sDot} cx={x(d ?? 0)} cy="6" r="4" />
      ) : (
        <circle class={`${scaleCss.sDot} ${scaleCss.open}`} cx={x(d ?? 0)} cy="6" r="3.5" />
      )}
    </svg>
  );
}
