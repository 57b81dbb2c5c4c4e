import type { ComparisonsAnswer } from '../../../shared/core.ts';
import { useAnswer } from '../../core-client.ts';
import { shortDay } from '../../format.ts';
import { type Act, Frame } from '../../frame.tsx';
import { Empty } from '../../parts/empty.tsx';
import { Waiting } from '../../parts/waiting.tsx';
import { later, words } from '../../words.ts';
import { Scores } from './scores.tsx';
import * as linedCss from '../../parts/lined.module.css';

/** What is being compared, and every version's scores below it. A flight that is on comes before anything new. */
export function Side() {
  const { answer, slow, fault, refusal } = useAnswer({ q: 'comparisons' });
  const { answer: keeper } = useAnswer({ q: 'keeper' });
  const running = answer?.rows.find((it) => it.running !== null)?.running ?? null;
  const act = (): Act | null => {
    if (!answer || keeper?.settings.quiet !== false) return null;
    if (running !== null) return { label: later.comparing.goOn, href: `/flight/${running}` };
    return answer.drinks.length > 0
      ? { label: later.comparing.begin, href: '/side/new' }
      : { label: later.side.toSpecs, href: '/specs' };
  };
  const bar = act();
  return (
    <Frame title={words.rooms.side} sub={later.comparing.sub} {...(bar ? { act: bar } : {})}>
      {refusal ? (
        <p role="alert">{refusal.text}</p>
      ) : !answer ? (
        <Waiting slow={slow} fault={fault} />
      ) : (
        <>
          <Comparisons answer={answer} />
          {keeper && answer.drinks.length > 0 && bar?.label !== later.comparing.begin && (
            <p>
              <a class="link" href="/side/new">
                {later.comparing.begin}
              </a>
            </p>
          )}
          <Scores />
        </>
      )}
    </Frame>
  );
}

function Comparisons({ answer: { rows, drinks } }: { answer: ComparisonsAnswer }) {
  if (rows.length === 0)
    return (
      <Empty title={later.comparing.emptyTitle}>
        <p>{drinks.length > 0 ? later.comparing.empty : later.comparing.noBenchmark}</p>
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
                <span class={`quiet ${linedCss.lined}`}>
                  {row.name !== '' && row.name !== row.drink_name && `${row.drink_name} · `}
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
