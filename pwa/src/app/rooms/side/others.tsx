import type { ComponentChildren } from 'preact';
import type { ComparisonAnswer } from '../../../shared/core.ts';
import { decimal, shortDay } from '../../format.ts';
import { later } from '../../words.ts';
import { Whisker } from './effects.tsx';
import { named, signed } from '../../parts/pairing.ts';
import { between, leastTrials, often, reach, sideOf, turnedTo } from './say.ts';
import * as linedCss from '../../parts/lined.module.css';
import * as css from './style.module.css';

/** A section of its own, only when there is something in it, with one line of what it tells and what not. */
function Told({ title, help, children }: { title: string; help: string; children: ComponentChildren }) {
  return (
    <section class="part">
      <h2>{title}</h2>
      <p class="quiet">{help}</p>
      {children}
    </section>
  );
}

export function Families({ answer: { families } }: { answer: ComparisonAnswer }) {
  if (families.length === 0) return null;
  const end = reach(families.flatMap(({ lo, hi }) => [lo, hi]));
  return (
    <Told title={later.compared.families} help={later.compared.familiesHelp}>
      <ul class={css.adds}>
        {families.map((it) => (
          <li key={`${it.swap} ${it.family}`}>
            <p>{later.compared.family(it.family, it.than)}</p>
            <p class={`end ${css.celld}`}>{signed(it.d)}</p>
            <Whisker d={it.d} lo={it.lo} hi={it.hi} end={end} />
            <p class="quiet">
              {between(it.lo, it.hi)} · {later.compared.familyVerdict[sideOf(it.lo, it.hi)]}
            </p>
          </li>
        ))}
      </ul>
      <Ends low={signed(-end)} middle={signed(0)} high={signed(end)} />
    </Told>
  );
}

export const Ends = ({ low, middle, high }: { low: string; middle: string; high: string }) => (
  <p class={`${css.ends} quiet`} aria-hidden="true">
    <span>{low}</span>
    <span>{middle}</span>
    <span>{high}</span>
  </p>
);

export function Interactions({ answer: { interactions } }: { answer: ComparisonAnswer }) {
  if (interactions.length === 0) return null;
  return (
    <Told title={later.compared.interactions} help={later.compared.interactionsHelp}>
      <ul class="rows">
        {interactions.map((it) => (
          <li key={it.picks} class="row">
            <span>{named(it.names)}</span>
            <span class="end">{later.compared.beyond(signed(it.d))}</span>
          </li>
        ))}
      </ul>
    </Told>
  );
}

export function Panel({ answer: { panel } }: { answer: ComparisonAnswer }) {
  if (panel.length === 0) return null;
  return (
    <Told title={later.compared.friends} help={later.compared.friendsHelp}>
      <ul class="rows">
        {panel.map((it) => (
          <li key={it.taster} class="row">
            <span>
              <span class={linedCss.lined}>{it.taster}</span>
              <span class={`quiet ${linedCss.lined}`}>{later.compared.friend(it.n, it.top)}</span>
            </span>
          </li>
        ))}
      </ul>
    </Told>
  );
}

export function Trials({ answer: { id, trials }, quiet }: { answer: ComparisonAnswer; quiet: boolean }) {
  const to = !quiet && (
    <p class="unprinted">
      <a class="link" href={`/side/${id}/trial`}>
        {later.compared.trialsTo}
      </a>
    </p>
  );
  if (trials.length === 0 && quiet) return null;
  return (
    <Told title={later.compared.trials} help={later.compared.trialsHelp}>
      <ul class="rows">
        {trials.map(turnedTo).map((it) => {
          const triangle = it.sort === 'triangle';
          const least = leastTrials(it.sort);
          return (
            <li key={`${it.sort} ${it.a} ${it.b}`} class={css.trial}>
              <p>{triangle ? later.compared.toldApart(it.a, it.b) : later.compared.against(it.a, it.b)}</p>
              <p class={css.sayso}>{it.shown ? later.compared.shown : later.compared.notShown}</p>
              <p class="quiet">
                {triangle ? later.compared.found(it.first, it.n) : later.compared.chosen(it.a, it.first, it.n)} ·{' '}
                {later.compared.share(it.lo_percent, it.hi_percent)} · {later.compared.chance(it.chance_percent)}
              </p>
              {it.n < least && <p class="quiet">{later.compared.tooFew(least)}</p>}
            </li>
          );
        })}
      </ul>
      {to}
    </Told>
  );
}

export function Choices({ answer: { choices } }: { answer: ComparisonAnswer }) {
  if (choices.length === 0) return null;
  return (
    <Told title={later.compared.choices} help={later.compared.choicesHelp}>
      <ul class={css.adds}>
        {choices.map((it) => {
          const own = it.ability === 0 && it.lo === 0 && it.hi === 0; // the benchmark, which the others are set against
          return (
            <li key={it.picks}>
              <p>{named(it.names)}</p>
              <p class="end">
                {own ? (
                  <span class="quiet">{later.compared.verdict.benchmark}</span>
                ) : (
                  <span class={css.celld}>{later.compared.often(often(it.ability))}</span>
                )}
              </p>
              <Whisker
                d={often(it.ability) - 50}
                lo={often(it.lo) - 50}
                hi={often(it.hi) - 50}
                end={50}
                benchmark={own}
              />
              {!own && <p class="quiet">{later.compared.oftenSure(often(it.lo), often(it.hi))}</p>}
            </li>
          );
        })}
      </ul>
      <Ends low={later.compared.oftenLow} middle={later.compared.oftenMiddle} high={later.compared.oftenHigh} />
    </Told>
  );
}

export function Ranks({ answer: { ranks } }: { answer: ComparisonAnswer }) {
  if (ranks === null) return null;
  return (
    <Told title={later.compared.ranks} help={later.compared.ranksHelp(ranks.flights)}>
      <p>
        {ranks.shown ? later.compared.ranksShown : later.compared.ranksNot};{' '}
        {later.compared.chance(ranks.chance_percent)}.
      </p>
      <ol class="rows">
        {ranks.rows.map((it) => (
          <li key={named(it.names)} class="row">
            <span>{named(it.names)}</span>
            <span class="end quiet">{later.compared.sum(decimal(it.sum, 1, 0))}</span>
          </li>
        ))}
      </ol>
      <p class="quiet">{later.compared.ranksSum}</p>
    </Told>
  );
}

export function Flights({ answer: { flights } }: { answer: ComparisonAnswer }) {
  if (flights.length === 0) return null;
  return (
    <section class="part">
      <h2>{later.compared.flights}</h2>
      <ul class="rows">
        {flights.map((it) => (
          <li key={it.id}>
            <a class="row" href={`/flight/${it.id}`}>
              <span>
                {later.compared.flight(shortDay(it.day))}
                {it.state !== 'ended' && (
                  <b class={`quiet ${linedCss.lined}`}>{later.compared.flightState[it.state]}</b>
                )}
              </span>
              <span class="quiet end">{later.compared.flightCount(it.scored, it.seats)}</span>
            </a>
          </li>
        ))}
      </ul>
    </section>
  );
}
