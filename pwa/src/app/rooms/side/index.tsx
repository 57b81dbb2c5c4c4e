import type { ComparisonsAnswer } from '../../../shared/core.ts';
import { useAnswer } from '../../core-client.ts';
import { shortDay } from '../../format.ts';
import { type Act, Frame } from '../../frame.tsx';
import { Empty } from '../../parts/empty.tsx';
import { Waiting } from '../../parts/waiting.tsx';
import { words } from '../../words.ts';
import { later } from '../../words-later.ts';
import { Scores } from './scores.tsx';
import './style.css';

/** What is being compared, and every version's scores below it. A core built without comparing shows the scores alone. */
export function Side() {
  const { answer, slow, fault, refusal } = useAnswer({ q: 'comparisons' });
  const act: { act?: Act } = refusal
    ? { act: { label: later.side.toSpecs, href: '/specs' } }
    : answer
      ? {
          act:
            answer.drinks.length > 0
              ? { label: later.comparing.begin, href: '/side/new' }
              : { label: later.side.toSpecs, href: '/specs' },
        }
      : {};
  return (
    <Frame title={words.rooms.side} sub={refusal ? later.side.sub : later.comparing.sub} {...act}>
      {refusal ? (
        <Scores alone />
      ) : !answer ? (
        <Waiting slow={slow} fault={fault} />
      ) : (
        <>
          <Comparisons rows={answer.rows} />
          <Scores alone={false} />
        </>
      )}
    </Frame>
  );
}

function Comparisons({ rows }: { rows: ComparisonsAnswer['rows'] }) {
  if (rows.length === 0)
    return (
      <Empty title={later.comparing.emptyTitle}>
        <p>{later.comparing.empty}</p>
      </Empty>
    );
  return (
    <section class="part first">
      <h2>{later.comparing.list}</h2>
      <ul class="rows">
        {rows.map((row) => (
          <li key={row.id}>
            <a class="row" href={`/side/${row.id}`}>
              <span>
                <span class="name">{row.name || row.drink_name}</span>
                <span class="quiet lined">
                  {later.comparing.counts(row.pairings, row.candidates, row.tasted, row.scored)}
                </span>
              </span>
              <span class="quiet end">
                {row.running !== null
                  ? later.comparing.running
                  : row.last_day === null
                    ? ''
                    : later.side.last(shortDay(row.last_day))}
              </span>
            </a>
          </li>
        ))}
      </ul>
    </section>
  );
}
