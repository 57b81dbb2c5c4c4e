import { useState } from 'preact/hooks';
import type { ComparisonAnswer } from '../../../shared/core.ts';
import { useAnswer } from '../../core-client.ts';
import { Frame } from '../../frame.tsx';
import { Empty } from '../../parts/empty.tsx';
import { Waiting } from '../../parts/waiting.tsx';
import type { Params } from '../../router.ts';
import { listOf } from '../../format.ts';
import { later, words } from '../../words.ts';
import { Effects } from './effects.tsx';
import { Grid } from './grid.tsx';
import { Choices, Families, Flights, Interactions, Panel, Ranks, Trials } from './others.tsx';
import { firstView, type View } from './pairings.ts';
import { Prices } from './prices.tsx';
import { Ranking } from './ranking.tsx';
import { nameOf, sentence } from './say.ts';
import { Take } from './take.tsx';
import { showWorth, Worth } from './worth.tsx';
import * as css from './style.module.css';

/** /side/<id>: what the scores say of one comparison. */
export function Comparison({ params }: { params: Params }) {
  const { answer, slow, fault, refusal } = useAnswer({ q: 'comparison', id: params.id ?? '' });
  const { answer: keeper } = useAnswer({ q: 'keeper' });
  const quiet = keeper?.settings.quiet ?? true;
  const running = answer?.flights.find((it) => it.state !== 'ended');
  const open =
    answer && !quiet
      ? running
        ? {
            label: running.state === 'running' ? later.comparing.goOn : later.compared.toFlight,
            href: `/flight/${running.id}`,
          }
        : { label: later.flight.next, href: `/side/${answer.id}/next` }
      : null;
  return (
    <Frame
      title={answer ? answer.name || answer.drink_name : words.rooms.side}
      away="/side"
      {...(open ? { act: open } : {})}
    >
      {refusal ? (
        <p role="alert">{words.notThere}</p>
      ) : !answer ? (
        <Waiting slow={slow} fault={fault} />
      ) : (
        <Found key={answer.id} answer={answer} quiet={quiet} />
      )}
    </Frame>
  );
}

function Found({ answer, quiet }: { answer: ComparisonAnswer; quiet: boolean }) {
  const [chosen, setChosen] = useState<View | null>(null);
  const view = chosen ?? firstView(answer.swaps);
  const scored = answer.scored > 0;
  const grid = <Grid answer={answer} view={view} onView={setChosen} />;
  const wide = (answer.swaps[view.across]?.effects.length ?? 0) > 3;
  const said = scored ? (
    <Says answer={answer} />
  ) : (
    <Empty title={later.compared.noneTitle}>
      <p>{quiet ? later.compared.noneQuiet : later.compared.none}</p>
    </Empty>
  );
  return (
    <>
      {wide && (
        <div class={css.over}>
          {said}
          {grid}
        </div>
      )}
      <div class="panes">
        <div>
          {!wide && said}
          {!wide && grid}
          {scored && <Ranking findings={answer.findings} />}
        </div>
        <div>
          {answer.swaps.map((swap) => (
            <Effects key={swap.id} swap={swap} scored={scored} />
          ))}
          {!quiet && (
            <p class="unprinted">
              <a class="link" href={`/side/${answer.id}/add`}>
                {later.compared.addTo}
              </a>
            </p>
          )}
          <Families answer={answer} />
          <Interactions answer={answer} />
          <Prices findings={answer.findings} />
          <Ranks answer={answer} />
          <Choices answer={answer} />
          <Trials answer={answer} quiet={quiet} />
          <Panel answer={answer} />
          <Flights answer={answer} />
          <Worth key={answer.anchors.length} answer={answer} />
          <Take answer={answer} view={view} />
        </div>
      </div>
    </>
  );
}

function Says({ answer }: { answer: ComparisonAnswer }) {
  const { say, groups } = answer;
  return (
    <section class="part first">
      <h2>{later.compared.says}</h2>
      {say.map((it, i) => (
        <div key={it.code} class={css.says}>
          <p>{sentence(it, say[i - 1]?.code)}</p>
          {it.code === 'apart' && (
            <ul class={css.groups}>
              {groups.map((names) => (
                <li key={names.join()}>{listOf(names.map((name) => nameOf({ name })))}</li>
              ))}
            </ul>
          )}
          {it.code === 'ask_anchor' && (
            <button type="button" class="link" onClick={showWorth}>
              {later.compared.declare}
            </button>
          )}
        </div>
      ))}
      <p class="quiet">{later.compared.honest}</p>
    </section>
  );
}
