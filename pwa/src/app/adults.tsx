import { signal } from '@preact/signals';
import { useState } from 'preact/hooks';
import { MeasureMark } from './frame.tsx';
import { words } from './words.ts';
import * as adultsCss from './adults.module.css';
import * as drawnCss from './parts/drawn.module.css';

const key = 'adult';

function kept(): boolean {
  try {
    return localStorage.getItem(key) === 'yes';
  } catch {
    return false; // storage is off: asked each time
  }
}

/** Whether somebody on this device said to be of legal age. Kept on the device alone. */
export const adult = signal(kept());

function confirm(): void {
  try {
    localStorage.setItem(key, 'yes');
  } catch {
    // it holds as long as the page
  }
  adult.value = true;
}

/** Before anything else on a device: for adults. A no ends kindly, and nothing is kept. */
export function Adults() {
  const [no, setNo] = useState(false);
  return (
    <div class={adultsCss.gate}>
      <main>
        <p class={drawnCss.drawn}>
          <MeasureMark />
        </p>
        <h1>{no ? words.adults.kindly : words.product}</h1>
        {no ? (
          <>
            {words.adults.end.map((text) => (
              <p key={text}>{text}</p>
            ))}
            <p>
              <button type="button" class="link" onClick={() => setNo(false)}>
                {words.adults.back}
              </button>
            </p>
          </>
        ) : (
          <>
            <p>{words.adults.what}</p>
            <p>{words.adults.ask}</p>
            <div class="btns">
              <button type="button" class="btn strong" onClick={confirm}>
                {words.adults.yes}
              </button>
              <button type="button" class="btn" onClick={() => setNo(true)}>
                {words.adults.no}
              </button>
            </div>
            {words.adults.cautions.map((text) => (
              <p key={text} class="quiet">
                {text}
              </p>
            ))}
          </>
        )}
      </main>
    </div>
  );
}
