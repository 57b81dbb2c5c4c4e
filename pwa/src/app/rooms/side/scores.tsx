import type { SideAnswer } from '../../../shared/core.ts';
import { useAnswer } from '../../core-client.ts';
import { listOf, score, shortDay } from '../../format.ts';
import { Waiting } from '../../parts/waiting.tsx';
import { later, words } from '../../words.ts';
import { ScoreMarks } from './marks.tsx';
import * as linedCss from '../../parts/lined.module.css';
import * as toneCss from '../../parts/tone.module.css';
import * as css from './style.module.css';

type Row = SideAnswer['drinks'][number]['rows'][number];

/** Each drink's versions under each other, every score a mark on the same scale. Nothing is concluded from them here. */
export function Scores() {
  const { answer, slow, fault, old } = useAnswer({ q: 'side' });
  if (!answer) return <Waiting slow={slow} fault={fault} />;
  if (answer.drinks.length === 0) return null;
  return (
    <div class={old ? `${css.sides} dim` : css.sides}>
      {answer.drinks.map((drink) => (
        <section key={drink.id} class="part" aria-labelledby={`side-${drink.id}`}>
          <h2 id={`side-${drink.id}`}>{drink.name}</h2>
          <ul class="rows">
            {drink.rows.map((row) => (
              <Version key={row.spec} row={row} drink={drink.name} />
            ))}
          </ul>
        </section>
      ))}
      <p class="quiet">{later.side.honest}</p>
    </div>
  );
}

function Version({ row, drink }: { row: Row; drink: string }) {
  const scores = [...row.scores_x10].reverse(); // as they were given, the oldest first
  return (
    <li>
      <a class={css.aside} href={`/specs/${row.spec}`}>
        <span>
          {row.benchmark ? words.specs.benchmark : row.name === drink ? words.spec.unnamed : row.name}
          <span class={`quiet ${linedCss.lined}`}>
            {later.side.tasted(row.tasted)}
            {row.last_day !== null && ` · ${later.side.last(shortDay(row.last_day))}`}
          </span>
        </span>
        <span class={css.marked}>
          <ScoreMarks scores={scores} />
          <span class="unseen">{scores.length > 0 ? later.side.scores(listOf(scores.map(score))) : ''}</span>
          <span class={`${toneCss.soft} ${css.figures}`} aria-hidden="true">
            {scores.length > 0 ? scores.map(score).join('  ') : '–'}
          </span>
        </span>
      </a>
    </li>
  );
}
