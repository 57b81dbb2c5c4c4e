import { useAnswer } from '../../core-client.ts';
import { Frame } from '../../frame.tsx';
import { Waiting } from '../../parts/waiting.tsx';
import { wide } from '../../parts/wide.ts';
import type { Params } from '../../router.ts';
import { later, words } from '../../words.ts';
import { useDays } from './index.tsx';
import { JournalList } from './list.tsx';
import { PourBanners, PourDetail, pourSub } from './detail.tsx';
import * as duoCss from '../../parts/duo.module.css';

/** One glass: what was in it, how it was, and how it is changed or taken back. */
export function Pour({ params }: { params: Params }) {
  const id = params.pour ?? '';
  const { answer, slow, fault, refusal } = useAnswer({ q: 'pour', id });
  return (
    <Frame
      title={answer?.pour.name ?? words.rooms.journal}
      away="/journal"
      {...(answer ? { sub: pourSub(answer.pour), banner: <PourBanners view={answer} /> } : {})}
    >
      <div class={duoCss.duo}>
        {wide.value && <Beside current={id} />}
        <div>
          {answer ? (
            <PourDetail key={id} view={answer} />
          ) : refusal ? (
            <p role="alert">{words.notThere}</p>
          ) : (
            <Waiting slow={slow} fault={fault} />
          )}
        </div>
      </div>
    </Frame>
  );
}

function Beside({ current }: { current: string }) {
  const live = useDays();
  return (
    <section class={duoCss.list} aria-label={later.journal.list}>
      <JournalList live={live} current={current} />
    </section>
  );
}
