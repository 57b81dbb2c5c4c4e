import { useEffect, useState } from 'preact/hooks';
import type { FlightAnswer } from '../../../shared/core.ts';
import { useAnswer } from '../../core-client.ts';
import { Frame } from '../../frame.tsx';
import { Waiting } from '../../parts/waiting.tsx';
import type { Params } from '../../router.ts';
import { later, words } from '../../words.ts';
import { Pouring } from './pouring.tsx';
import { Ended, Result } from './result.tsx';
import { Tasting } from './tasting.tsx';
import { Uncover } from './uncover.tsx';

/** /flight/<id>: poured, tasted one glass after another, looked under where that is needed, and then named. */
export function Flight({ params }: { params: Params }) {
  const { answer, slow, fault, refusal } = useAnswer({ q: 'flight', id: params.id ?? '' });
  if (answer) return <At key={answer.id} answer={answer} />;
  return (
    <Frame title={later.flight.title} away="/side">
      {refusal ? <p role="alert">{words.notThere}</p> : <Waiting slow={slow} fault={fault} />}
    </Frame>
  );
}

function At({ answer }: { answer: FlightAnswer }) {
  // Ended here a moment ago with glasses unscored: names wait for one more touch, so that it can be taken back unseen.
  const [covered, setCovered] = useState(false);
  useEffect(() => {
    if (answer.state !== 'ended') setCovered(false); // taken back
  }, [answer.state]);
  if (answer.state === 'planned') return <Pouring answer={answer} />;
  if (answer.state === 'running') return <Tasting answer={answer} onEarly={setCovered} />;
  if (covered) return <Ended answer={answer} onShow={() => setCovered(false)} />;
  if (answer.uncover) return <Uncover answer={answer} />;
  return <Result answer={answer} />;
}
