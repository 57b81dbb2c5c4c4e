import { useState } from 'preact/hooks';
import { words } from '../words.ts';
import * as chipsCss from './chips.module.css';
import * as stateMarkCss from '../state-mark.module.css';

const few = 8;

/** Terms to choose from; a chosen one has a heavier edge and a tick. */
export function Chips({
  terms,
  chosen,
  onChange,
}: {
  terms: readonly string[];
  chosen: readonly string[];
  onChange: (chosen: readonly string[]) => void;
}) {
  const [all, setAll] = useState(false);
  const shown = all ? terms : terms.filter((term, i) => i < few || chosen.includes(term));
  return (
    <div class={chipsCss.chips}>
      {shown.map((term) => {
        const on = chosen.includes(term);
        return (
          <button
            key={term}
            type="button"
            class={chipsCss.chip}
            aria-pressed={on}
            onClick={() => onChange(on ? chosen.filter((other) => other !== term) : [...chosen, term])}
          >
            {on && (
              <svg width="12" height="12" viewBox="0 0 12 12" aria-hidden="true">
                <path class={stateMarkCss.mLine} d="M1 6.5 4.5 10 11 2" />
              </svg>
            )}
            {words.flavour(term)}
          </button>
        );
      })}
      {terms.length > few && (
        <button type="button" class={chipsCss.chip} aria-expanded={all} onClick={() => setAll(!all)}>
          {all ? words.sheet.fewer : words.sheet.more}
        </button>
      )}
    </div>
  );
}
