import { useAnswer } from '../core-client.ts';
import { later } from '../words.ts';
import * as secondCss from './second.module.css';

/** In Tonight: the way back to a flight that is on. Nothing while there is none. */
export function FlightOn() {
  const { answer } = useAnswer({ q: 'comparisons' });
  const running = answer?.rows.find((it) => it.running !== null)?.running;
  return running ? <On id={running} /> : null;
}

function On({ id }: { id: string }) {
  const { answer } = useAnswer({ q: 'flight', id });
  if (answer?.state !== 'running') return null;
  const scored = answer.seats.filter((it) => it.score_x10 !== null).length;
  return (
    <a class={secondCss.second} href={`/flight/${id}`}>
      <b>{later.tasting.on}</b>
      <span class="quiet end">{later.outcome.scored(scored, answer.seats.length)}</span>
    </a>
  );
}
