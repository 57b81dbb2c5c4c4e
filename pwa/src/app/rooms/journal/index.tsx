import { useAnswer } from '../../core-client.ts';
import { Frame } from '../../frame.tsx';
import { wide } from '../../parts/wide.ts';
import { later, words } from '../../words.ts';
import { PourById } from './detail.tsx';
import { days, find, JournalList, newestOf } from './list.tsx';
import * as duoCss from '../../parts/duo.module.css';

/** The question of the list, wherever it stands. */
export const useDays = () =>
  useAnswer({ q: 'journal', days: days.value, ...(find.value === '' ? {} : { text: find.value }) });

export function Journal() {
  const live = useDays();
  const newest = live.answer && newestOf(live.answer);
  const total = live.answer?.total ?? 0;
  return (
    <Frame
      title={words.rooms.journal}
      {...(total > 0 ? { sub: later.journal.pours(total) } : {})}
      {...(live.answer && total === 0 ? { act: { label: later.journal.act, href: '/pour' } } : {})}
    >
      {wide.value && (newest || find.value !== '') ? (
        <div class={`${duoCss.duo} ${duoCss.listed}`}>
          <div class={duoCss.list}>
            <JournalList live={live} current={newest} />
          </div>
          {newest && (
            <section aria-label={later.journal.newest}>
              <PourById id={newest} named />
            </section>
          )}
        </div>
      ) : (
        <JournalList live={live} current={null} />
      )}
    </Frame>
  );
}
