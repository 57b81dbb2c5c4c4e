import type { FlightAnswer } from '../../../shared/core.ts';
import { listOf, score } from '../../format.ts';
import { Frame } from '../../frame.tsx';
import { save } from '../../parts/saved.tsx';
import { ScoreScale } from '../../parts/score.tsx';
import { later, words } from '../../words.ts';
import { named, signed } from '../../parts/pairing.ts';
import { bestFirst, byPlace, type Seat } from './reckon.ts';
import * as linedCss from '../../parts/lined.module.css';
import * as noteCss from '../../parts/note.module.css';
import * as servingCss from '../../parts/serving.module.css';
import * as css from './style.module.css';

const goOn = (answer: FlightAnswer) =>
  void save({ do: 'flight_state', id: answer.id, state: 'resume' }, later.outcome.wentOn);

const without = (answer: FlightAnswer): Seat[] => answer.seats.filter((it) => it.score_x10 === null);
const listed = (answer: FlightAnswer): string =>
  listOf(without(answer).map((it) => (byPlace(answer) ? later.tasting.glass(it.pos) : String(it.code))));

/** Ended early, a moment ago: nothing is named yet, so that it can still go on. */
export function Ended({ answer, onShow }: { answer: FlightAnswer; onShow: () => void }) {
  const open = without(answer).length;
  return (
    <Frame
      title={answer.name}
      away={`/side/${answer.comparison}`}
      act={{ label: answer.uncover ? later.tasting.under : later.outcome.show, onClick: onShow }}
    >
      <section class="part first narrow">
        <h2>{later.outcome.endedTitle}</h2>
        <p class="fig">{later.outcome.scored(answer.seats.length - open, answer.seats.length)}</p>
        <p class={servingCss.told}>{later.outcome.not(listed(answer))}</p>
        <div class="btns">
          <button type="button" class="btn" onClick={() => goOn(answer)}>
            {later.outcome.goOn}
          </button>
        </div>
      </section>
    </Frame>
  );
}

/** Names, scores, and how far each was from the benchmark of the same evening. */
export function Result({ answer }: { answer: FlightAnswer }) {
  const open = without(answer);
  const friends = answer.seats.filter(({ ratings }) => ratings.some((it) => it.score_x10 !== null || it.note !== ''));
  return (
    <Frame
      title={answer.name}
      away={`/side/${answer.comparison}`}
      act={{ label: later.outcome.says, href: `/side/${answer.comparison}` }}
    >
      {!answer.revealed ? (
        <p>{later.outcome.nothing}</p>
      ) : (
        <div class="narrow">
          <section class="part first">
            <h2>{later.outcome.title}</h2>
            <ol class="rows">
              {bestFirst(answer.seats).map((seat) => (
                <li key={seat.id} class={`row ${css.outcome}`} data-testid="outcome">
                  <span>
                    <span class="name" data-testid="name">
                      {named(seat.names)}
                    </span>
                    <span class={`quiet ${linedCss.lined}`}>
                      {seat.code}
                      {seat.tags.length > 0 && ` · ${listOf(seat.tags.map((it) => words.flavour(it)))}`}
                    </span>
                    {seat.note !== '' && <span class={`${noteCss.note} ${linedCss.lined}`}>{seat.note}</span>}
                  </span>
                  <span class="end">
                    {seat.score_x10 === null ? (
                      <span class="quiet">{later.outcome.none}</span>
                    ) : (
                      <>
                        <span class="fig" data-testid="score">
                          {score(seat.score_x10)}
                        </span>
                        <span class={`quiet ${linedCss.lined}`}>
                          {seat.benchmark ? later.outcome.benchmark : seat.d === null ? '' : signed(seat.d)}
                        </span>
                      </>
                    )}
                  </span>
                  {seat.score_x10 !== null && <ScoreScale x10={seat.score_x10} />}
                </li>
              ))}
            </ol>
            {open.length > 0 && <p class="quiet">{later.outcome.not(listed(answer))}</p>}
            <p class="quiet">{later.outcome.once}</p>
          </section>
          {friends.length > 0 && (
            <section class="part">
              <h2>{later.outcome.friends}</h2>
              <ul class="rows">
                {friends.map((it) => (
                  <li key={it.id} class={css.others}>
                    <span class={linedCss.lined}>{named(it.names)}</span>
                    {it.ratings.map(({ taster, score_x10, note }) => (
                      <span key={taster} class={`quiet ${linedCss.lined}`}>
                        {later.outcome.friend(taster, score_x10 === null ? '–' : score(score_x10), note)}
                      </span>
                    ))}
                  </li>
                ))}
              </ul>
            </section>
          )}
          <div class="btns unprinted">
            <a class="btn" href={`/flight/${answer.id}/friends`}>
              {later.friends.title}
            </a>
            {open.length > 0 && answer.sight === 'sighted' && (
              <button type="button" class="btn" onClick={() => goOn(answer)}>
                {later.outcome.goOn}
              </button>
            )}
          </div>
        </div>
      )}
    </Frame>
  );
}
