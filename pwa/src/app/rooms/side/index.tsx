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

/** What is being compared, and every version's scores below it. */
export function Side() {
  const { answer, slow, fault, refusal } = useAnswer({ q: 'comparisons' });
  const act: { act?: Act } = answer
    ? {
        act:
          answer.drinks.length > 0
            ? { label: later.comparing.begin, href: '/side/new' }
            : { label: later.side.toSpecs, href: '/specs' },
      }
    : {};
  return (
    <Frame title={words.rooms.side} sub={later.comparing.sub} {...act}>
      {refusal ? (
        <p role="alert">{refusal.text}</p>
      ) : !answer ? (
        <Waiting slow={slow} fault={fault} />
      ) : (
        <>
          <Comparisons rows={answer.rows} />
          <Scores />
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
