import { words } from '../words.ts';
import * as emptyCss from './empty.module.css';
import * as waitingCss from './waiting.module.css';

/** Before the first answer: nothing for 300 ms, then the shape of rows; a fault says what happened. */
export function Waiting({ slow, fault }: { slow: boolean; fault: string | null }) {
  if (fault !== null) {
    return (
      <div class={emptyCss.empty} role="alert">
        <p class="name">{words.oops.title}</p>
        <p>{words.oops.text}</p>
        <p class="quiet">{fault}</p>
        <button type="button" class="btn" onClick={() => location.reload()}>
          {words.oops.reload}
        </button>
      </div>
    );
  }
  if (!slow) return null;
  return (
    <div role="status" data-testid="waiting">
      <span class="unseen">{words.loading}</span>
      {[waitingCss.a, waitingCss.b, waitingCss.c, waitingCss.b, waitingCss.a].map((width, i) => (
        <div key={i} class={`${waitingCss.skel} ${width}`} />
      ))}
    </div>
  );
}
