import type { FlightAnswer } from '../../../shared/core.ts';
import { Frame } from '../../frame.tsx';
import { useDraft } from '../../parts/draft.ts';
import { save } from '../../parts/saved.tsx';
import { later } from '../../words.ts';
import { keptCodes } from './reckon.ts';
import * as servingCss from '../../parts/serving.module.css';
import * as css from './style.module.css';

/** Half blind and tasted: under each glass its code is found, one after the other. No names until all are told. */
export function Uncover({ answer }: { answer: FlightAnswer }) {
  const codes = answer.seats.map(({ code }) => code).sort((a, b) => a - b);
  const draft = useDraft<readonly number[]>(
    `uncover.${answer.id}`,
    () => [],
    (it) => keptCodes(it, codes),
  );
  const found = draft.value ?? [];
  const all = found.length === codes.length;
  const keep = async () => {
    if (await save({ do: 'uncover', id: answer.id, codes: [...found] }, later.uncover.kept)) draft.drop();
  };
  return (
    <Frame
      title={answer.name}
      sub={later.uncover.sub}
      away={`/side/${answer.comparison}`}
      {...(all ? { act: { label: later.uncover.keep, onClick: () => void keep() } } : {})}
    >
      {draft.value !== null && (
        <div class="narrow">
          {all ? (
            <p class={servingCss.told}>{later.uncover.check}</p>
          ) : (
            <section class="part first">
              <h2>{later.uncover.under(found.length + 1)}</h2>
              <p class="fig one">{later.tasting.glass(found.length + 1)}</p>
              <p class={servingCss.told}>{later.uncover.which}</p>
              <div class={css.flown} role="group" aria-label={later.uncover.which}>
                {codes
                  .filter((code) => !found.includes(code))
                  .map((code) => (
                    <button key={code} type="button" class={css.glass} onClick={() => draft.set([...found, code])}>
                      <b>{code}</b>
                    </button>
                  ))}
              </div>
            </section>
          )}
          {found.length > 0 && (
            <section class="part">
              <h2>{later.uncover.found}</h2>
              <ol class="rows">
                {found.map((code, i) => (
                  <li key={code} class="row">
                    <span>{later.tasting.glass(i + 1)}</span>
                    <b class="end">{code}</b>
                  </li>
                ))}
              </ol>
              <div class="btns">
                <button type="button" class="btn" onClick={() => draft.set(found.slice(0, -1))}>
                  {later.uncover.back}
                </button>
              </div>
            </section>
          )}
          <p class="quiet">{later.uncover.lost}</p>
        </div>
      )}
    </Frame>
  );
}
