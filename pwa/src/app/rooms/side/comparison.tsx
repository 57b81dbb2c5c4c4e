import { useState } from 'preact/hooks';
import type { ComparisonAnswer, Effect, Finding } from '../../../shared/core.ts';
import { useAnswer } from '../../core-client.ts';
import { fullDay, money, score, shortDay } from '../../format.ts';
import { Frame } from '../../frame.tsx';
import { newId } from '../../ids.ts';
import { ScoreStepper } from '../../parts/glass-steps.tsx';
import { save } from '../../parts/saved.tsx';
import { Waiting } from '../../parts/waiting.tsx';
import { go, type Params } from '../../router.ts';
import { words } from '../../words.ts';
import { later } from '../../words-later.ts';
import { between, counts, gridOf, named, reach, sentence, signed, stateOf } from './say.ts';
import './style.css';

/** /side/<id>: what the scores say of one comparison. */
export function Comparison({ params }: { params: Params }) {
  const { answer, slow, fault, refusal } = useAnswer({ q: 'comparison', id: params.id ?? '' });
  const { answer: keeper } = useAnswer({ q: 'keeper' });
  const running = answer?.flights.find((it) => it.state !== 'ended');
  const open =
    answer && keeper && !keeper.settings.quiet
      ? running
        ? { label: later.flight.title, href: `/flight/${running.id}` }
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
        <div class="panes">
          <div>
            <section class="part first">
              <h2>{later.compared.says}</h2>
              {answer.say.map((it) => (
                <p key={it.code}>{sentence(it)}</p>
              ))}
              {answer.groups.length > 1 && (
                <p>{later.compared.apart(answer.groups.map((names) => names.join(', ')).join(' / '))}</p>
              )}
            </section>
            <Grid answer={answer} />
            <Ranking findings={answer.findings} />
          </div>
          <div>
            {answer.swaps.map((swap) => (
              <Effects key={swap.id} title={swap.line_name} effects={swap.effects} />
            ))}
            <Prices findings={answer.findings} />
            <Apart answer={answer} />
            <Anchor key={answer.anchors.length} answer={answer} />
            <section class="part unprinted">
              <h2>{later.spec.more}</h2>
              <div class="btns">
                <Csv name={answer.name || answer.drink_name} csv={answer.csv} />
                <button type="button" class="btn" onClick={() => void remove(answer)}>
                  {later.compared.remove}
                </button>
              </div>
            </section>
          </div>
        </div>
      )}
    </Frame>
  );
}

async function remove({ id }: ComparisonAnswer): Promise<void> {
  if (await save({ do: 'delete', id }, later.compared.removed, () => ({ do: 'restore', id }))) go('/side', true);
}

function Csv({ name, csv }: { name: string; csv: string }) {
  return (
    <a class="btn" href={`data:text/csv;charset=utf-8,${encodeURIComponent(csv)}`} download={`${name}.csv`}>
      {later.compared.csv}
    </a>
  );
}

/** Full: tasted; ring: predicted; short line: untasted. Always with its word. */
function Shape({ of }: { of: 'tasted' | 'predicted' | 'untasted' }) {
  return (
    <svg class="cellmark" width="12" height="12" viewBox="0 0 12 12" aria-hidden="true">
      {of === 'tasted' ? (
        <circle class="m-fill" cx="6" cy="6" r="5" />
      ) : of === 'predicted' ? (
        <circle class="m-line" cx="6" cy="6" r="4.5" />
      ) : (
        <path class="m-line" d="M2 6h8" />
      )}
    </svg>
  );
}

function Grid({ answer }: { answer: ComparisonAnswer }) {
  const grid = gridOf(answer);
  const [down, across] = answer.swaps;
  if (grid.length === 0 || !down || !across) return null;
  return (
    <section class="part">
      <h2 id="pairings">{later.compared.every}</h2>
      <div class="gridframe" tabIndex={0} role="region" aria-labelledby="pairings">
        <table class="pairings">
          <thead>
            <tr>
              <th scope="col">{later.compared.byWhat(down.line_name, across.line_name)}</th>
              {across.effects.map((it) => (
                <th key={it.candidate} scope="col">
                  {it.name}
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {grid.map(({ row, cells }) => (
              <tr key={row}>
                <th scope="row">{row}</th>
                {cells.map((cell, i) => (
                  <td key={i}>{cell ? <Cell finding={cell} /> : later.compared.state.untasted}</td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
    </section>
  );
}

function Cell({ finding }: { finding: Finding }) {
  const state = stateOf(finding);
  return (
    <>
      <span class="quiet cellword">
        <Shape of={state} />
        {finding.benchmark ? words.specs.benchmark : later.compared.state[state]}
      </span>
      {!finding.benchmark && finding.d !== null && <span class="lined">{signed(finding.d)}</span>}
      {!finding.benchmark && finding.lo !== null && finding.hi !== null && (
        <span class="quiet lined">{between(finding.lo, finding.hi)}</span>
      )}
    </>
  );
}

const few = 12;

function Ranking({ findings }: { findings: readonly Finding[] }) {
  const [all, setAll] = useState(false);
  return (
    <section class="part">
      <h2>{later.compared.ranking}</h2>
      <ol class="rows">
        {(all ? findings : findings.slice(0, few)).map((it) => (
          <li key={it.picks} class="row">
            <span>
              <span class="lined">{named(it.names)}</span>
              <span class="quiet lined">
                {[later.compared.verdict[it.verdict], counts(it)].filter(Boolean).join(' · ')}
              </span>
              {it.scores_x10.length > 0 && (
                <span class="lined">
                  {it.scores_x10.map(score).join('  ')}{' '}
                  <span class="quiet">{later.compared.today(it.todays_x10.map(score).join(', '))}</span>
                </span>
              )}
            </span>
            <span class="end">
              {it.benchmark || it.d === null ? '–' : signed(it.d)}
              {!it.benchmark && it.lo !== null && it.hi !== null && (
                <span class="quiet lined">{between(it.lo, it.hi)}</span>
              )}
            </span>
          </li>
        ))}
      </ol>
      {findings.length > few && (
        <button type="button" class="link" aria-expanded={all} onClick={() => setAll(!all)}>
          {all ? words.sheet.fewer : later.compared.all(findings.length)}
        </button>
      )}
    </section>
  );
}

function Effects({ title, effects }: { title: string; effects: readonly Effect[] }) {
  const end = reach(effects.flatMap(({ lo, hi }) => [lo, hi]));
  const x = (d: number) => Math.round((100 + (d / end) * 96) * 10) / 10;
  return (
    <section class="part">
      <h2>{later.compared.adds(title)}</h2>
      <ul class="rows">
        {effects.map((it) => (
          <li key={it.candidate} class="effect">
            <span class="lined">{it.name}</span>
            <svg viewBox="0 0 200 16" preserveAspectRatio="none" aria-hidden="true">
              <path class="s-axis" d="M4 14H196M100 0V16" />
              {!it.benchmark && (
                <path class="whisker" d={`M${x(it.lo)} 7H${x(it.hi)}M${x(it.lo)} 4v6M${x(it.hi)} 4v6`} />
              )}
              <path class="s-level" d={`M${x(it.d)} 3v8`} />
            </svg>
            <span class="quiet lined">
              {it.benchmark ? later.compared.isBenchmark : `${signed(it.d)}, ${between(it.lo, it.hi)}`}
              {it.benched && ` · ${later.compared.benched}`}
              {it.terms.length > 0 && ` · ${it.terms.map(({ term, n }) => `${words.flavour(term)} ${n}×`).join(', ')}`}
            </span>
            {!it.benchmark && (
              <button
                type="button"
                class="link"
                aria-label={it.benched ? later.compared.backOf(it.name) : later.compared.benchOf(it.name)}
                onClick={() => void bench(it)}
              >
                {it.benched ? later.compared.back : later.compared.bench}
              </button>
            )}
          </li>
        ))}
      </ul>
      <p class="quiet">{later.compared.axis(signed(-end), signed(end))}</p>
    </section>
  );
}

const bench = ({ candidate: id, benched }: Effect) =>
  save({ do: 'edit', id, kind: 'candidate', set: { benched: !benched } }, words.saved, () => ({
    do: 'edit',
    id,
    kind: 'candidate',
    set: { benched },
  }));

function Prices({ findings }: { findings: readonly Finding[] }) {
  const priced = findings.filter((it) => it.price_minor !== null && it.on_front);
  if (priced.length === 0) return null;
  return (
    <section class="part">
      <h2>{later.compared.prices}</h2>
      <ul class="rows">
        {priced.map((it) => (
          <li key={it.picks} class="row">
            <span>{named(it.names)}</span>
            <span class="end">
              {money(it.price_minor ?? 0, it.currency)}
              {it.per_point_minor !== null && (
                <span class="quiet lined">{later.compared.perPoint(money(it.per_point_minor, it.currency))}</span>
              )}
            </span>
          </li>
        ))}
      </ul>
    </section>
  );
}

/** What else was written down: families, what goes together, trials, friends, flights. */
function Apart({ answer }: { answer: ComparisonAnswer }) {
  const rows = [
    ...answer.families.map((it) => later.compared.family(it.family, it.than, signed(it.d), between(it.lo, it.hi))),
    ...answer.interactions.map((it) => later.compared.extra(named(it.names), signed(it.d))),
    ...answer.trials.map((it) =>
      it.sort === 'triangle'
        ? later.compared.triangle(it.first, it.n, it.shown)
        : later.compared.trial(it.a, it.b, it.first, it.n, it.shown),
    ),
    ...answer.panel.map((it) => later.compared.friend(it.taster, it.n, it.top)),
    ...answer.flights.map((it) => later.compared.flight(shortDay(it.day), it.scored, it.seats)),
  ];
  if (rows.length === 0) return null;
  return (
    <section class="part">
      <h2>{later.compared.apartTitle}</h2>
      <ul class="rows">
        {rows.map((text) => (
          <li key={text} class="row">
            {text}
          </li>
        ))}
      </ul>
    </section>
  );
}

/** The benchmark's score is declared again from now on; scores stay as they were given. */
function Anchor({ answer }: { answer: ComparisonAnswer }) {
  const [x10, setX10] = useState(answer.anchor_x10);
  return (
    <details class="why">
      <summary>
        {answer.anchor_x10 === null ? later.compared.noAnchor : later.compared.anchor(score(answer.anchor_x10))}
      </summary>
      {answer.anchors.map((it) => (
        <p key={it.id} class="quiet">
          {later.compared.since(fullDay(it.day), score(it.anchor_x10))}
        </p>
      ))}
      <ScoreStepper x10={x10} onChange={setX10} />
      <p class="quiet">{later.compared.anchorHelp}</p>
      {x10 !== null && x10 !== answer.anchor_x10 && (
        <button
          type="button"
          class="btn"
          onClick={() =>
            void save(
              { do: 'anchor', id: newId(), comparison: answer.id, anchor_x10: x10 },
              later.compared.anchored(score(x10)),
              (done) => ({ do: 'delete', id: done.made }),
            )
          }
        >
          {later.compared.anchor(score(x10))}
        </button>
      )}
    </details>
  );
}
