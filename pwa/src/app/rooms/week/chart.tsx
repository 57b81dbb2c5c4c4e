import type { DayRow, Guideline } from '../../../shared/core.ts';
import { alcohol, listOf, weekday } from '../../format.ts';
import { BarChart } from '../../parts/bar-chart.tsx';
import { later } from '../../words.ts';
import { dayLines, lineLabel } from './guidance.ts';
import * as css from './style.module.css';

/** The calendar week as plain bars; the published line is dashed and named in words. */
export function Chart({ days, guidance }: { days: readonly DayRow[]; guidance: readonly Guideline[] }) {
  const { lines, grams } = dayLines(guidance);
  return (
    <figure class={css.days}>
      {lines.length > 0 && (
        <p class={css.by} aria-hidden="true">
          {lines.map(lineLabel).join(' · ')}
        </p>
      )}
      <BarChart
        amounts={days.map((day) => (day.alcohol ? (grams ? day.alcohol.grams : day.alcohol.drinks) : null))}
        limits={lines.map((line) => line.limit)}
        said={later.week.chart(listOf(days.map(said)))}
      />
      <ol>
        {days.map((day) => (
          <li key={day.day}>
            {weekday(day.day)}
            <b>{figureOf(day)}</b>
          </li>
        ))}
      </ol>
    </figure>
  );
}

function figureOf(day: DayRow): string {
  if (day.state === 'drunk' && day.alcohol) return alcohol(day.alcohol);
  if (day.state === 'free') return later.week.none;
  return day.future ? '' : later.week.dash;
}

const said = (day: DayRow): string => `${weekday(day.day)} ${figureOf(day) || later.week.dash}`;
