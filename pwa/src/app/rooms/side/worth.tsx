import { useState } from 'preact/hooks';
import type { ComparisonAnswer, Id } from '../../../shared/core.ts';
import { fullDay, score } from '../../format.ts';
import { newId } from '../../ids.ts';
import { HalfPoints } from '../../parts/glass-steps.tsx';
import { Once } from '../../parts/once.tsx';
import { save } from '../../parts/saved.tsx';
import { Mark } from '../../state-mark.tsx';
import { later } from '../../words.ts';
import { topX10 } from './say.ts';
import * as alertCss from '../../parts/alert.module.css';
import * as chipsCss from '../../parts/chips.module.css';
import * as whyCss from '../../parts/why.module.css';
import * as css from './style.module.css';

const worthId = 'worth';

/** Opens what the benchmark is worth, wherever it stands on the page. */
export function showWorth(): void {
  const it = document.getElementById(worthId);
  if (!(it instanceof HTMLDetailsElement)) return;
  it.open = true;
  it.querySelector('summary')?.focus();
  it.scrollIntoView({ block: 'start' });
}

/** The benchmark's score is declared again from now on; scores stay as they were given. */
export function Worth({ answer }: { answer: ComparisonAnswer }) {
  const [x10, setX10] = useState(answer.anchor_x10);
  const [drunk, setDrunk] = useState(true);
  const declare = (anchor_x10: number) =>
    save(
      { do: 'anchor', id: newId(), comparison: answer.id, anchor_x10, drunk },
      later.compared.anchored(score(anchor_x10)),
      (done) => ({ do: 'delete', id: done.made }),
    );
  return (
    <section class="part unprinted">
      <h2>{later.compared.worth}</h2>
      <details id={worthId} class={`${whyCss.why} ${css.aired}`}>
        <summary>
          {answer.anchor_x10 === null ? later.compared.noAnchor : later.compared.anchor(score(answer.anchor_x10))}
        </summary>
        <p>{later.compared.anchorHelp}</p>
        <div class={css.spaced}>
          <HalfPoints
            label={later.compared.worthLabel}
            less={later.compared.worthLess}
            more={later.compared.worthMore}
            x10={x10}
            onChange={setX10}
          />
        </div>
        {x10 !== null && x10 >= topX10 && (
          <p class={alertCss.err} role="status">
            <Mark shape="triangle" />
            <span>{later.compared.anchorTop(score(x10), x10 === 100)}</span>
          </p>
        )}
        <div class={chipsCss.chips} role="group" aria-label={later.compared.worthHow}>
          <button type="button" class={chipsCss.chip} aria-pressed={drunk} onClick={() => setDrunk(true)}>
            {later.compared.drunk}
          </button>
          <button type="button" class={chipsCss.chip} aria-pressed={!drunk} onClick={() => setDrunk(false)}>
            {later.compared.memory}
          </button>
        </div>
        <p class="quiet">{later.compared.memoryHelp}</p>
        {x10 !== null && (
          <div class="btns">
            <Once control={`anchor ${answer.id}`} class="btn strong" act={() => declare(x10)}>
              {later.compared.anchorSave(score(x10))}
            </Once>
          </div>
        )}
        {answer.anchors.length > 0 && (
          <ol class={css.since}>
            {[...answer.anchors].reverse().map((it, i) => (
              <li key={it.id} class="quiet">
                {later.compared.since(fullDay(it.day), score(it.anchor_x10))}
                {i === 0 && (
                  <Once control={`delete ${it.id}`} class="link" act={() => takeBack(it.id)}>
                    {later.compared.takeBack}
                  </Once>
                )}
              </li>
            ))}
          </ol>
        )}
      </details>
    </section>
  );
}

const takeBack = (id: Id) => save({ do: 'delete', id }, later.compared.takenBack, () => ({ do: 'restore', id }));
