import type { ComponentType } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import type { Alcohol, PourRow, Tonight as Answer } from '../../../shared/core.ts';
import { useAnswer } from '../../core-client.ts';
import {
  alcohol,
  countryName,
  decimal,
  drinks,
  grams,
  isUnknown,
  longDay,
  ml,
  span,
  standardDrinks,
  tight,
  toTotal,
} from '../../format.ts';
import { FirstUse } from '../../first-use.tsx';
import { Frame } from '../../frame.tsx';
import { newId } from '../../ids.ts';
import { Empty } from '../../parts/empty.tsx';
import { Passes, PassShort } from '../../parts/guide.tsx';
import { Medical } from '../../parts/medical.tsx';
import { PourAt, PourDrinks, PourWhat } from '../../parts/pour-row.tsx';
import { Once } from '../../parts/once.tsx';
import { save } from '../../parts/saved.tsx';
import { Waiting } from '../../parts/waiting.tsx';
import { journal } from '../../state.ts';
import { fetchLater, words } from '../../words.ts';
import { plainDetail } from '../../parts/plain-detail.ts';
import * as paceCss from '../../parts/pace.module.css';
import * as scaleCss from '../../parts/scale.module.css';
import * as secondCss from '../../parts/second.module.css';
import * as css from './style.module.css';

export function Tonight() {
  const { answer, slow, fault, old } = useAnswer({ q: 'tonight' });
  const session = answer?.session ?? null;
  const sub = answer
    ? session
      ? words.tonight.since(longDay(answer.now_day), session.since)
      : longDay(answer.now_day)
    : undefined;
  const unwritten = answer !== null && session === null && answer.again === null && answer.specs.length === 0;
  if (unwritten && journal.value !== null && journal.value.paired === null) {
    return (
      <Frame title={words.product} sub={words.first.sub} act={{ label: words.first.spec, href: '/specs/new' }}>
        <FirstUse />
      </Frame>
    );
  }
  return (
    <Frame title={words.rooms.tonight} sub={sub} act={{ label: words.tonight.pour, href: '/pour' }}>
      {!answer ? (
        <Waiting slow={slow} fault={fault} />
      ) : (
        <>
          {answer.heavy && <Medical />}
          {!answer.quiet && <Running />}
          <div class={old ? 'panes dim' : 'panes'}>
            <Evening answer={answer} />
          </div>
        </>
      )}
    </Frame>
  );
}

/** The way back to a flight that is on. It is no part of the start. */
function Running() {
  const [On, setOn] = useState<ComponentType | null>(null);
  useEffect(() => {
    void Promise.all([import('../../parts/flight-on.tsx'), fetchLater()]).then(
      ([it]) => setOn(() => it.FlightOn),
      () => undefined,
    );
  }, []);
  return On && <On />;
}

function Evening({ answer }: { answer: Answer }) {
  const { session, unit } = answer;
  const [asked, setAsked] = useState(false);
  if (answer.quiet && !asked) {
    return (
      <>
        <Next answer={answer} />
        <section class="part">
          <p class="quiet">{words.tonight.quietEmpty}</p>
          <dl class={paceCss.pace}>
            <Water millilitres={answer.water_ml} />
          </dl>
          {session && (
            <div class="btns">
              <button type="button" class="btn" onClick={() => setAsked(true)}>
                {words.tonight.quietShow}
              </button>
            </div>
          )}
          <h2>{words.tonight.quietAway}</h2>
          <div class="btns">
            <a class="btn" href="/keeper/export">
              {words.exporting.title}
            </a>
            <a class="btn" href="/keeper/delete">
              {words.deleting.title}
            </a>
          </div>
        </section>
      </>
    );
  }
  return (
    <>
      <div>
        <section aria-label={words.tonight.soFar}>
          {session ? (
            <>
              <Total alcohol={session.totals.alcohol} />
              <p class="quiet">{words.tonight.unitEach(decimal(unit.grams, 2, 0), countryName(unit.country))}</p>
              {session.totals.alcohol.at_least && !isUnknown(session.totals.alcohol) && (
                <p class="quiet">{words.tonight.oneUnknown}</p>
              )}
            </>
          ) : (
            !answer.ended && (
              <Empty title={words.tonight.emptyTitle}>
                <p>{words.tonight.empty}</p>
              </Empty>
            )
          )}
          <dl class={paceCss.pace}>
            {session && (
              <div>
                <dt class="quiet">{words.tonight.pace}</dt>
                <dd>
                  {session.pace_per_hour === null
                    ? words.tonight.paceNone
                    : words.tonight.paceValue(decimal(session.pace_per_hour, 1))}
                </dd>
                <dd class={`quiet ${paceCss.small}`}>
                  {session.since_last_min < 1
                    ? words.tonight.sinceNow
                    : words.tonight.sinceLast(span(session.since_last_min))}
                </dd>
                {session.pours.length > 1 && (
                  <dd class={`quiet ${paceCss.small}`}>{words.week.sessionPeak(decimal(session.peak_two_hours, 1))}</dd>
                )}
              </div>
            )}
            <Water millilitres={answer.water_ml} />
          </dl>
        </section>
        {answer.ended && (
          <section class="part">
            <h2>{words.tonight.ended(answer.ended.since, answer.ended.until)}</h2>
            <p>{standardDrinks(answer.ended.totals.alcohol)}</p>
            <p>{words.tonight.home}</p>
          </section>
        )}
        {session && (
          <section class="part">
            <h2>
              {words.tonight.pours} <span>{words.tonight.standardDrinks}</span>
            </h2>
            <ol class={css.evening} data-testid="evening">
              {session.pours.map((pour, i) => (
                <Row key={pour.id} pour={pour} gap={i === 0 ? null : (session.gaps_min[i - 1] ?? null)} />
              ))}
            </ol>
            <p class="quiet key">{words.tonight.home}</p>
          </section>
        )}
      </div>
      <Next answer={answer} />
    </>
  );
}

/** The figure, then the words for it: one text that wraps, and nothing beside it. */
function Total({ alcohol: a }: { alcohol: Alcohol }) {
  if (isUnknown(a) && a.or_drinks === null)
    return (
      <p class={css.total}>
        <span class="fig one" data-testid="total">
          {words.tonight.dash}
        </span>{' '}
        {words.tonight.ofNotKnown}
      </p>
    );
  const before = (a.at_least ? words.atLeast('') : '') + (a.about ? words.about('') : '');
  return (
    <p class={css.total}>
      <span data-testid="total">
        {before}
        <span class="fig one">{drinks(a.drinks)}</span>
        {a.or_drinks !== null && (
          <>
            {words.or('', '')}
            <span class="fig one">{drinks(a.or_drinks)}</span>
          </>
        )}
      </span>{' '}
      {words.tonight.ofAlcohol(grams(a.grams))}
    </p>
  );
}

function Row({ pour, gap }: { pour: PourRow; gap: number | null }) {
  return (
    <>
      {gap !== null && gap >= 20 && (
        <li class={css.gap} aria-hidden="true">
          <span />
          <span class={gap > 240 ? `${css.rail} ${css.long}` : css.rail}>
            <Rail minutes={gap} />
          </span>
          <span class="quiet">{span(gap)}</span>
          <span />
        </li>
      )}
      <li>
        <PourAt pour={pour} />
        <span class={`${css.rail} ${css.mark}`} />
        <PourWhat pour={pour} />
        <PourDrinks pour={pour} />
      </li>
    </>
  );
}

/** One short tick is ten minutes; a pause of over two hours is broken, and its length stands beside it. */
function Rail({ minutes }: { minutes: number }) {
  const ticks = Math.min(Math.round(minutes / 10), 12);
  const height = ticks * 8;
  const marks = Array.from({ length: ticks }, (_, i) => `M9 ${i * 8 + 4.5}h7`).join('');
  return (
    <svg width="16" height={height} viewBox={`0 0 16 ${height}`}>
      <path class={scaleCss.sTick} d={marks} />
    </svg>
  );
}

function Water({ millilitres }: { millilitres: number }) {
  return (
    <div class={paceCss.has}>
      <dt class="quiet">{words.tonight.water}</dt>
      <dd>{ml(millilitres)}</dd>
      <dd class={paceCss.press}>
        <Once
          control="water"
          class="btn"
          label={words.tonight.addWater}
          act={() =>
            save({ do: 'water', id: newId(), vol_ul: 250_000 }, words.tonight.waterSaved, (done) => ({
              do: 'delete',
              id: done.made,
            }))
          }
        >
          +
        </Once>
      </dd>
    </div>
  );
}

function Next({ answer }: { answer: Answer }) {
  const quiet = answer.quiet;
  const again = quiet ? null : answer.again; // the quiet evening offers nothing with alcohol by itself
  const plains = quiet ? answer.plains.filter((it) => it.abv_percent === 0) : answer.plains.slice(0, 3);
  if (!again && plains.length === 0) return null;
  return (
    <section class="part">
      <h2>{quiet ? words.tonight.without : words.tonight.next}</h2>
      {again && (
        <>
          <Once
            control="again"
            class={secondCss.second}
            act={() =>
              save({ do: 'again', id: newId(), pour: again.pour }, words.tonight.poured(again.name), (done) => ({
                do: 'delete',
                id: done.made,
              }))
            }
          >
            <span>
              <b>{words.tonight.same}</b>
              <br />
              <span class="quiet">{words.tonight.sameOf(again.name, tight(again.version))}</span>
            </span>
            <span class={`quiet end ${css.pre}`}>
              {isUnknown(again.would_bring)
                ? words.alcoholNotKnown
                : words.tonight.wouldBring(alcohol(again.would_bring))}
            </span>
          </Once>
          <Passes total={again.would_bring} passes={again.passes} />
          {again.spec && (
            <p>
              <a class="link" href={`/pour/${again.spec}`}>
                {words.tonight.withSwap}
              </a>
            </p>
          )}
        </>
      )}
      <ul class={`rows ${css.quick}`}>
        {plains.map((plain) => (
          <li key={plain.id}>
            <Once
              control={`plain ${plain.id}`}
              class="row"
              act={() =>
                save(
                  {
                    do: 'plain',
                    id: newId(),
                    name: plain.name,
                    vol_ul: Math.round(plain.volume_ml * 1000),
                    abv_bp: plain.abv_percent === null ? null : Math.round(plain.abv_percent * 100),
                  },
                  words.tonight.poured(plain.name),
                  (done) => ({ do: 'delete', id: done.made }),
                )
              }
            >
              <span>
                {plain.name} <span class="quiet">{plainDetail(plain)}</span>
                {!quiet && <PassShort passes={plain.passes} />}
              </span>
              {!quiet && <span class="quiet end">{toTotal(plain.would_bring)}</span>}
            </Once>
          </li>
        ))}
      </ul>
    </section>
  );
}
