import { useRef, useState } from 'preact/hooks';
import type { Id, PourSheet, SwapChoice } from '../../../shared/core.ts';
import { ml, unitName } from '../../format.ts';
import { lineName } from '../../parts/lines.tsx';
import { words } from '../../words.ts';
import * as chipsCss from '../../parts/chips.module.css';
import * as css from './style.module.css';

export interface Swap {
  line: Id;
  ingredient: Id;
}

type SwapLine = PourSheet['swaps'][number];

/** What stands on the shelf is worth a look first; the rest waits behind one touch. */
const few = 7;

function shortList(line: SwapLine): readonly SwapChoice[] {
  const near = line.choices.filter((choice) => choice.as_written || choice.left_ml !== null);
  return (near.length > 1 ? near : line.choices).slice(0, few);
}

/** Which line, then which ingredient stands in it. The first line with a bottle to swap in is open. */
export function Swaps({
  answer,
  swap,
  setSwap,
}: {
  answer: PourSheet;
  swap: Swap | null;
  setSwap: (swap: Swap | null) => void;
}) {
  const lines = answer.swaps.filter((line) => line.choices.length > 1);
  const [picked, setPicked] = useState<Id | null>(null);
  const [all, setAll] = useState(false);
  const list = useRef<HTMLDivElement>(null);
  const current =
    lines.find((line) => line.line === (picked ?? swap?.line)) ??
    lines.find((line) => line.choices.some((choice) => !choice.as_written && choice.left_ml !== null)) ??
    lines[0];
  if (!current) return null;

  const chosen =
    swap?.line === current.line
      ? swap.ingredient
      : (current.choices.find((choice) => choice.as_written)?.ingredient ?? '');
  const short = shortList(current);
  const shown = all ? current.choices : current.choices.filter((c) => short.includes(c) || c.ingredient === chosen);
  const choose = (choice: SwapChoice) =>
    setSwap(choice.as_written ? null : { line: current.line, ingredient: choice.ingredient });
  const move = (event: KeyboardEvent) => {
    const by = { ArrowDown: 1, ArrowRight: 1, ArrowUp: -1, ArrowLeft: -1 }[event.key];
    if (by === undefined) return;
    event.preventDefault();
    const at = shown.findIndex((choice) => choice.ingredient === chosen);
    const next = (at + by + shown.length) % shown.length;
    const choice = shown[next];
    if (!choice) return;
    choose(choice);
    list.current?.querySelectorAll<HTMLElement>('[role=radio]')[next]?.focus();
  };

  const amount = current.amount ? `, ${current.amount} ${unitName(current.unit, 2)}` : '';
  const hidden = current.choices.length - shown.length;
  return (
    <section class="part first">
      <h2>{words.sheet.swap(`${current.line_name}${amount}`)}</h2>
      {lines.length > 1 && (
        <div class={`${chipsCss.chips} ${css.linesToSwap}`} role="group" aria-label={words.sheet.whichLine}>
          {lines.map((line) => (
            <button
              key={line.line}
              type="button"
              class={chipsCss.chip}
              aria-pressed={line.line === current.line}
              onClick={() => {
                setPicked(line.line);
                setAll(false);
                setSwap(null);
              }}
            >
              {line.line_name}
            </button>
          ))}
        </div>
      )}
      <div ref={list} class={css.picks} role="radiogroup" aria-label={current.line_name} onKeyDown={move}>
        {shown.map((choice) => {
          const on = choice.ingredient === chosen;
          return (
            <button
              key={choice.ingredient}
              type="button"
              class={css.pick}
              role="radio"
              aria-checked={on}
              tabIndex={on ? 0 : -1}
              onClick={() => choose(choice)}
            >
              <span>{lineName({ name: choice.name, abv_percent: choice.abv_percent })}</span>
              <span class={`quiet ${css.pickmore}`}>
                {choice.as_written
                  ? words.sheet.asWritten
                  : choice.left_ml !== null
                    ? words.sheet.left(ml(Math.round(choice.left_ml)))
                    : ''}
              </span>
            </button>
          );
        })}
      </div>
      {hidden > 0 && (
        <button type="button" class="link" onClick={() => setAll(true)}>
          {words.sheet.moreChoices(hidden)}
        </button>
      )}
    </section>
  );
}
