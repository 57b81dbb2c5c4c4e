import type { DayRow, Guideline } from '../../../shared/core.ts';
import { alcohol, weekday } from '../../format.ts';
import { barBox, barsOf } from '../../parts/bars.ts';
import { words } from '../../words.ts';
import { dayLines, lineLabel } from './guidance.ts';

/** The calendar week as plain bars; the published line is dashed and named in words. */
export function Chart({ days, guidance }: { days: readonly DayRow[]; guidance: readonly Guideline[] }) {
  const { lines, grams } = dayLines(guidance);
  const drawn = barsOf(
    days.map((day) => (day.alcohol ? (grams ? day.alcohol.grams : day.alcohol.drinks) : null)),
    lines.map((line) => line.limit),
  );
  return (
    <figure class="days">
      {lines.length > 0 && (
        <p class="by" aria-hidden="true">
          {lines.map(lineLabel).join(' · ')}
        </p>
      )}
      <svg
        class="area"
        viewBox={`0 0 ${barBox.width} ${barBox.height}`}
        preserveAspectRatio="none"
        role="img"
        aria-label={words.week.chart(days.map(said).join(', '))}
      >
        {drawn.bars.map((bar) => (
          <rect key={bar.x} class="b-bar" x={bar.x} y={bar.y} width={bar.width} height={bar.height} />
        ))}
        <path class="b-base" d={`M0 ${barBox.base + 0.5}H${barBox.width}`} />
        {drawn.lines.map((y) => (
          <path key={y} class="b-line" d={`M0 ${y}H${barBox.width}`} />
        ))}
        {drawn.cuts.map((cut) => (
          <path key={`${cut.x} ${cut.y}`} class="b-cut" d={`M${cut.x} ${cut.y}h${cut.width}`} />
        ))}
      </svg>
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
  if (day.state === 'free') return words.week.none;
  return day.future ? '' : words.week.dash;
}

const said = (day: DayRow): string => `${weekday(day.day)} ${figureOf(day) || words.week.dash}`;
