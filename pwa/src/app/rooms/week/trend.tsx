import type { Guideline, WeeksAnswer } from '../../../shared/core.ts';
import { useAnswer } from '../../core-client.ts';
import { alcohol, countryName, decimal, fullDay, grams, listOf, shortDay } from '../../format.ts';
import { Frame } from '../../frame.tsx';
import { BarChart } from '../../parts/bar-chart.tsx';
import { Waiting } from '../../parts/waiting.tsx';
import { later } from '../../words.ts';
import * as paceCss from '../../parts/pace.module.css';
import * as css from './style.module.css';

export const FourWeeks = () => <Trend n={4} />;
export const Year = () => <Trend n={53} />;

/** Calendar weeks as plain bars, ink only, with a table beside; the published lines by the week are dashed and named. */
function Trend({ n }: { n: 4 | 53 }) {
  const { answer, slow, fault, old } = useAnswer({ q: 'weeks', n });
  const { answer: week } = useAnswer({ q: 'week' });
  return (
    <Frame title={later.trend.title[n] ?? ''} away="/week">
      {answer ? (
        <div class={old ? 'panes even dim' : 'panes even'}>
          <Drawn answer={answer} guidance={week?.guidance ?? []} />
          <Table answer={answer} />
        </div>
      ) : (
        <Waiting slow={slow} fault={fault} />
      )}
    </Frame>
  );
}

function Drawn({ answer, guidance }: { answer: WeeksAnswer; guidance: readonly Guideline[] }) {
  const { weeks, unit, mean } = answer;
  const lines = weekLines(guidance);
  const empty = weeks.every((week) => week.totals.pours === 0);
  return (
    <div>
      <section class="part first">
        <h2>{later.trend.byWeek(decimal(unit.grams, 2, 0), countryName(unit.country))}</h2>
        {empty && <p class="quiet">{later.trend.empty}</p>}
        <figure class={`${css.days} ${css.weeks}`}>
          {lines.length > 0 && (
            <p class={css.by} aria-hidden="true">
              {lines.map((line) => later.trend.line(decimal(line.limit, 1, 0))).join(' · ')}
            </p>
          )}
          <BarChart
            amounts={weeks.map((week) => (week.drinking > 0 ? week.totals.alcohol.drinks : null))}
            limits={lines.map((line) => line.limit)}
            said={later.trend.chart(
              listOf(weeks.map((week) => `${shortDay(week.from)} ${alcohol(week.totals.alcohol)}`)),
            )}
          />
          <p class={css.fromto}>
            <span>{fullDay(weeks[0]?.from ?? '')}</span>
            <span>{fullDay(weeks.at(-1)?.to ?? '')}</span>
          </p>
        </figure>
      </section>
      {mean && (
        <dl class={paceCss.pace}>
          <div>
            <dt class="quiet">{later.trend.mean}</dt>
            <dd>{alcohol(mean)}</dd>
            <dd class={`quiet ${paceCss.small}`}>{later.week.meanSub(grams(mean.grams))}</dd>
          </div>
        </dl>
      )}
      {mean && <p class="quiet key">{later.trend.meanOver}</p>}
    </div>
  );
}

/** Lines that give a number of standard drinks by the week. */
function weekLines(guidance: readonly Guideline[]): Guideline[] {
  return guidance.filter(
    (line) =>
      line.period === 'week' && line.limit > 0 && line.unit !== 'g' && !['band', 'none'].includes(line.comparator),
  );
}

function Table({ answer }: { answer: WeeksAnswer }) {
  const newest = [...answer.weeks].reverse();
  return (
    <section class="part first">
      <table class={`${css.byday} ${css.weeks}`}>
        <thead>
          <tr>
            <th scope="col">{later.trend.week}</th>
            <th scope="col">{later.trend.daysHead}</th>
            <th scope="col" class="n">
              {later.week.gramsHead}
            </th>
            <th scope="col" class="n">
              {later.week.drinksHead}
            </th>
          </tr>
        </thead>
        <tbody>
          {newest.map((week, i) => (
            <tr key={week.name}>
              <th scope="row">
                {shortDay(week.from)}
                {i === 0 && <span class="quiet"> {later.trend.running}</span>}
              </th>
              <td>{later.trend.days(week.drinking, week.free, week.nothing)}</td>
              <td class="n">{week.totals.pours > 0 ? decimal(week.totals.alcohol.grams, 0) : later.week.dash}</td>
              <td class="n">{week.totals.pours > 0 ? alcohol(week.totals.alcohol) : later.week.dash}</td>
            </tr>
          ))}
        </tbody>
      </table>
      <p class="quiet key">{later.trend.daysKey}</p>
    </section>
  );
}
