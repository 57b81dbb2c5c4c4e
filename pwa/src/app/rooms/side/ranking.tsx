import { useState } from 'preact/hooks';
import type { Finding } from '../../../shared/core.ts';
import { listOf } from '../../format.ts';
import { later } from '../../words.ts';
import { named, signed } from '../../parts/pairing.ts';
import { between, counts, scoresOf, stateOf, verdictOf } from './say.ts';
import * as chipsCss from '../../parts/chips.module.css';
import * as linedCss from '../../parts/lined.module.css';
import * as toneCss from '../../parts/tone.module.css';
import * as css from './style.module.css';

const few = 12;
const filters = ['all', 'tasted', 'untasted'] as const;

/** Every pairing from the best down: its verdict, its scores as they were given, and how far from the benchmark. */
export function Ranking({ findings }: { findings: readonly Finding[] }) {
  const [filter, setFilter] = useState<(typeof filters)[number]>('all');
  const [all, setAll] = useState(false);
  const shown = findings.filter((it) => filter === 'all' || (stateOf(it) === 'tasted') === (filter === 'tasted'));
  const moved = findings.some((it) => scoresOf(it).some(({ today }) => today !== ''));
  return (
    <section class="part">
      <h2>{later.compared.ranking}</h2>
      {moved && <p class="quiet">{later.compared.rankingHelp}</p>}
      {findings.length > few && (
        <div class={`${chipsCss.chips} ${css.filter}`} role="group" aria-label={later.compared.filterBy}>
          {filters.map((it) => (
            <button
              key={it}
              type="button"
              class={chipsCss.chip}
              aria-pressed={filter === it}
              onClick={() => setFilter(it)}
            >
              {later.compared.filter[it]}
            </button>
          ))}
        </div>
      )}
      {shown.length === 0 && <p>{later.compared.noneOf}</p>}
      <ol class="rows">
        {(all ? shown : shown.slice(0, few)).map((it) => (
          <Row key={it.picks} finding={it} />
        ))}
      </ol>
      {shown.length > few && (
        <button type="button" class="link" aria-expanded={all} onClick={() => setAll(!all)}>
          {all ? later.compared.fewer : later.compared.all(shown.length)}
        </button>
      )}
    </section>
  );
}

/** It was tasted, and that tells something. */
const told = ({ tasted, verdict }: Finding): boolean => tasted > 0 && verdict !== 'not_enough_data';

function Row({ finding }: { finding: Finding }) {
  const { benchmark, d, lo, hi } = finding;
  const scores = scoresOf(finding);
  const verdict = verdictOf(finding);
  const today = scores.some((it) => it.today !== '') ? listOf(scores.map((it) => it.today || it.raw)) : '';
  const sure = !benchmark && lo !== null && hi !== null ? between(lo, hi) : '';
  const what = (
    <>
      <p>
        <span class={linedCss.lined}>{named(finding.names)}</span>
        {verdict && <span class={told(finding) ? css.sayso : toneCss.soft}>{verdict}</span>}
        <span class={`quiet ${linedCss.lined}`}>{counts(finding)}</span>
      </p>
      {!benchmark && d !== null && (
        <p class={`end ${css.rankend}`}>
          <span class={stateOf(finding) === 'tasted' ? `fig ${css.points}` : `fig ${css.points} ${toneCss.soft}`}>
            {signed(d)}
          </span>
          <span class={`quiet ${linedCss.lined}`}>{sure}</span>
        </p>
      )}
      {scores.length > 0 && (
        <p class={css.scored}>
          <span class="unseen" data-testid="scores">
            {later.compared.scored(listOf(scores.map(({ raw }) => raw)), today)}
          </span>
          {scores.map((it, i) => (
            <span key={i} class="fig" aria-hidden="true">
              {it.raw}
              {it.today && <small>{it.today}</small>}
            </span>
          ))}
        </p>
      )}
    </>
  );
  return (
    <li>
      {finding.spec === null ? (
        <div class={css.rank} data-testid="rank">
          {what}
        </div>
      ) : (
        <a class={css.rank} data-testid="rank" href={`/specs/${finding.spec}`}>
          {what}
        </a>
      )}
    </li>
  );
}
