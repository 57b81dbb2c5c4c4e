import { useState } from 'preact/hooks';
import type { Alcohol, DayRow, Guideline, WeekAnswer } from '../../../shared/core.ts';
import { useAnswer } from '../../core-client.ts';
import {
  alcohol,
  clock,
  countryName,
  decimal,
  drinks,
  grams,
  isUnknown,
  listOf,
  longDay,
  monthYear,
  shortDay,
  weekdayDay,
} from '../../format.ts';
import { Frame } from '../../frame.tsx';
import { Empty } from '../../parts/empty.tsx';
import { Medical } from '../../parts/medical.tsx';
import { Once } from '../../parts/once.tsx';
import { save } from '../../parts/saved.tsx';
import { Waiting } from '../../parts/waiting.tsx';
import { inUnit } from '../../parts/guide.tsx';
import { later, words } from '../../words.ts';
import { Chart } from './chart.tsx';
import { asText, cautionOf, dayLines } from './guidance.ts';
import { Take } from './take.tsx';
import * as barChartCss from '../../parts/bar-chart.module.css';
import * as emptyCss from '../../parts/empty.module.css';
import * as medicalCss from '../../parts/medical.module.css';
import * as paceCss from '../../parts/pace.module.css';
import * as toneCss from '../../parts/tone.module.css';
import * as css from './style.module.css';

/** What the days come to, in plain ink beside the published lines. No level, no colour, nothing about what is left. */
export function Week() {
  const { answer, slow, fault, old } = useAnswer({ q: 'week' });
  const [asked, setAsked] = useState(false);
  const sub =
    answer &&
    `${later.week.span(shortDay(answer.calendar.from), shortDay(answer.calendar.to))} · ${later.week.today(weekdayLong(answer.now_day))}`;
  return (
    <Frame title={words.rooms.week} {...(sub ? { sub } : {})}>
      {!answer ? (
        <Waiting slow={slow} fault={fault} />
      ) : answer.quiet && !asked ? (
        <div class="narrow">
          {answer.heavy && <Medical />}
          <div class={emptyCss.empty}>
            <p>{later.week.quiet}</p>
            <button type="button" class="btn" onClick={() => setAsked(true)}>
              {later.week.quietShow}
            </button>
          </div>
        </div>
      ) : (
        <div class={old ? 'panes even dim' : 'panes even'}>
          <Days answer={answer} />
        </div>
      )}
    </Frame>
  );
}

const weekdayLong = (day: string): string => longDay(day).split(/[\s,]/)[0] ?? '';

function Days({ answer }: { answer: WeekAnswer }) {
  const { last_seven, calendar, session, four_week_mean, unit } = answer;
  const nothing = last_seven.days.every((day) => day.state === 'nothing') && last_seven.totals.pours === 0;
  const caution = cautionOf(answer.guidance);
  return (
    <>
      <div>
        {answer.heavy && <Medical />}
        {nothing ? (
          <Empty title={later.week.emptyTitle}>
            <p>{later.week.empty}</p>
          </Empty>
        ) : (
          <div class={css.two}>
            <Figure
              label={later.week.lastSeven}
              total={last_seven.totals.alcohol}
              sub={later.week.span(shortDay(last_seven.from), shortDay(last_seven.to))}
            />
            <Figure
              label={later.week.thisWeek}
              total={calendar.totals.alcohol}
              sub={later.week.from(weekdayLong(calendar.from))}
            />
          </div>
        )}
        {!nothing && (
          <dl class={paceCss.pace}>
            {session && (
              <div>
                <dt class="quiet">{later.week.session}</dt>
                <dd>{alcohol(session.alcohol)}</dd>
                <dd class={`quiet ${paceCss.small}`}>
                  {later.week.sessionSub(grams(session.alcohol.grams), later.journal.pours(session.pours))}
                </dd>
              </div>
            )}
            <div>
              <dt class="quiet">{later.week.mean}</dt>
              <dd>{alcohol(four_week_mean)}</dd>
              <dd class={`quiet ${paceCss.small}`}>{later.week.meanSub(grams(four_week_mean.grams))}</dd>
            </div>
          </dl>
        )}
        <section class="part">
          <h2>
            {dayLines(answer.guidance).grams
              ? later.week.gramsByDay(countryName(unit.country))
              : later.week.byDay(decimal(unit.grams, 2, 0), countryName(unit.country))}
          </h2>
          <div class={css.charts}>
            <div>
              <h3>{later.week.sevenByDay}</h3>
              <Chart days={last_seven.days} guidance={answer.guidance} />
            </div>
            <div>
              <h3>{later.week.weekByDay(calendar.name)}</h3>
              <Chart days={calendar.days} guidance={answer.guidance} />
            </div>
          </div>
          <p class="key">{later.week.counts(last_seven.drinking, last_seven.free, last_seven.nothing)}</p>
          <p class="quiet key">{later.week.key}</p>
          {last_seven.totals.alcohol.at_least && <p class="quiet key">{later.week.atLeast}</p>}
        </section>
        {caution && (
          <section class={medicalCss.caution}>
            <p>
              <b>{later.week.caution}</b> {caution} {later.week.cautionWhy}
            </p>
          </section>
        )}
        <Guidance answer={answer} />
      </div>
      <div>
        <Table answer={answer} />
        <Sessions answer={answer} />
        <section class="part unprinted">
          <h2>{later.week.more}</h2>
          <ul class="rows">
            {(
              [
                ['/week/four', later.week.four, later.week.fourWhat],
                ['/week/year', later.week.year, later.week.yearWhat],
                ['/week/help', later.week.helpPage, later.week.helpPageWhat],
              ] as const
            )
              .filter(([href]) => href === '/week/help' || !answer.quiet)
              .map(([href, name, what]) => (
                <li key={href}>
                  <a class="row" href={href}>
                    <span>
                      {name}
                      <br />
                      <span class="quiet">{what}</span>
                    </span>
                  </a>
                </li>
              ))}
          </ul>
        </section>
        <Take today={answer.now_day} />
      </div>
    </>
  );
}

function Figure({ label, total, sub }: { label: string; total: Alcohol; sub: string }) {
  const text = alcohol(total);
  return (
    <div>
      <p class="quiet">{label}</p>
      <p class={text.length > 5 ? `fig ${css.wraps} ${css.wordy}` : `fig ${css.wraps} one`} data-testid="total">
        {text}
      </p>
      <p class="quiet">{isUnknown(total) ? sub : later.week.grams(grams(total.grams), sub)}</p>
    </div>
  );
}

function Guidance({ answer }: { answer: WeekAnswer }) {
  const { guidance, checked, unit, country, on_file, checked_old } = answer;
  const own = guidance.filter((line) => line.status === 'own');
  const published = guidance.filter((line) => line.status !== 'own');
  const split = new Set(published.map((line) => line.group)).size > 1;
  return (
    <section class="part">
      <h2>{later.week.guidance}</h2>
      {!on_file && <p>{later.week.notOnFile(countryName(country))}</p>}
      {unit.fallback && <p>{later.week.unitNotOnFile(countryName(country), decimal(unit.grams, 2, 0))}</p>}
      {published.length === 0 ? (
        <p class="quiet">{later.week.noGuidance}</p>
      ) : (
        <ul class={css.guides}>
          {published.map((line, i) => (
            <li key={i}>
              <p>{asText(line)}</p>
              {line.state !== '' && <p>{standing(line)}</p>}
              {line.spread_days > 0 && <p>{later.week.spread(line.spread_days)}</p>}
              <p class="quiet">
                {[later.week.issued(line.issuer, line.year), later.week.status[line.status]]
                  .filter(Boolean)
                  .join(' · ')}
              </p>
            </li>
          ))}
        </ul>
      )}
      {own.map((line, i) => (
        <p key={i} class={css.own}>
          {asText(line)} <span class="quiet">{later.week.own}</span>
          <br />
          {standing(line)}
        </p>
      ))}
      {split && <p class="quiet key">{later.week.both}</p>}
      <p class="quiet key">{later.week.checked(monthYear(checked))}</p>
      {checked_old && <p class="key">{later.week.checkedOld(monthYear(checked))}</p>}
    </section>
  );
}

/** Where the days stand to a line: three states, each a word and a shape of its own. */
function standing(line: Guideline) {
  if (line.amount == null) return null;
  const amount = inUnit(decimal(line.amount, 1), line);
  return (
    <span class={css.standing}>
      <svg viewBox="0 0 12 12" aria-hidden="true">
        <path class={barChartCss.bBase} d="M0 6.5H12" />
        <circle cx="6" cy={line.state === 'below' ? 9.5 : line.state === 'at' ? 6.5 : 3} r="2" />
      </svg>
      {later.week.stands(line.at_least ? words.atLeast(amount) : amount, later.week.stateWord[line.state] ?? '')}
    </span>
  );
}

function Sessions({ answer }: { answer: WeekAnswer }) {
  if (answer.sessions.length === 0) return null;
  return (
    <section class="part">
      <h2>{later.week.sessions}</h2>
      <ul class="rows">
        {answer.sessions.map((session) => (
          <li key={session.id}>
            <a class="row" href={`/journal/${session.id}`}>
              <span>
                {weekdayDay(session.day)}, {later.journal.session(session.since, session.until)}
                <br />
                <span class="quiet">
                  {[
                    later.week.sessionPours(session.pours),
                    ...(session.hours > 0 ? [later.week.sessionHours(decimal(session.hours, 1))] : []),
                    ...(session.pace_per_hour === null ? [] : [later.week.sessionPace(drinks(session.pace_per_hour))]),
                    ...(session.pours > 1 ? [words.week.sessionPeak(drinks(session.peak_two_hours))] : []),
                  ].join(' · ')}
                </span>
              </span>
              <span class="end" data-testid="drinks">
                {alcohol(session.alcohol)}
              </span>
            </a>
          </li>
        ))}
      </ul>
      {answer.unit.country === 'US' && <p class="quiet key">{later.week.binge}</p>}
    </section>
  );
}

function Table({ answer }: { answer: WeekAnswer }) {
  const { last_seven, calendar } = answer;
  const from = clock(answer.day_start_min);
  return (
    <section class="part">
      <h2 id="by-day">{later.week.table}</h2>
      <table class={css.byday} aria-labelledby="by-day">
        <thead>
          <tr>
            <th scope="col">{later.week.day}</th>
            <th scope="col">{later.week.what}</th>
            <th scope="col" class="n">
              {later.week.gramsHead}
            </th>
            <th scope="col" class="n">
              {later.week.drinksHead}
            </th>
          </tr>
        </thead>
        <tbody>
          {last_seven.days.map((day) => (
            <Day key={day.day} day={day} today={day.day === answer.now_day} />
          ))}
        </tbody>
        <tfoot>
          <tr>
            <th scope="row" colSpan={2}>
              {later.week.weekRow(weekdayLong(calendar.from))}
            </th>
            <td class="n">{decimal(calendar.totals.alcohol.grams, 0)}</td>
            <td class="n">{alcohol(calendar.totals.alcohol)}</td>
          </tr>
          <tr>
            <th scope="row" colSpan={2}>
              {later.week.lastSeven}
            </th>
            <td class="n">{decimal(last_seven.totals.alcohol.grams, 0)}</td>
            <td class="n">{alcohol(last_seven.totals.alcohol)}</td>
          </tr>
        </tfoot>
      </table>
      <p class="quiet key">{later.week.dayRuns(from)}</p>
    </section>
  );
}

function Day({ day, today }: { day: DayRow; today: boolean }) {
  const name = longDay(day.day);
  const what =
    day.state === 'drunk' ? (
      listOf(day.what.map(({ name: drink, n }) => later.week.someOf(drink, n)))
    ) : (
      <span class={css.marking}>
        <span class={day.state === 'nothing' ? toneCss.soft : undefined}>
          {day.state === 'free' ? later.week.free : today ? later.week.nothingYet : later.week.nothing}
        </span>
        <Once
          control={`day ${day.day}`}
          class="link"
          label={(day.state === 'free' ? later.week.unmarkLabel : later.week.markLabel)(name)}
          act={() => mark(day.day, day.state !== 'free')}
        >
          {day.state === 'free' ? later.week.unmark : later.week.mark}
        </Once>
      </span>
    );
  return (
    <tr>
      <th scope="row">{weekdayDay(day.day)}</th>
      <td>{what}</td>
      <td class="n">{day.alcohol ? decimal(day.alcohol.grams, 0) : later.week.dash}</td>
      <td class="n">{day.alcohol ? alcohol(day.alcohol) : later.week.dash}</td>
    </tr>
  );
}

function mark(day: string, alcoholFree: boolean) {
  const name = longDay(day);
  return save(
    { do: 'day', day, alcohol_free: alcoholFree },
    alcoholFree ? later.week.marked(name) : later.week.unmarked(name),
    () => ({
      do: 'day',
      day,
      alcohol_free: !alcoholFree,
    }),
  );
}
