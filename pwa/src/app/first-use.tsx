import { placeOf } from './admission.ts';
import { MeasureMark } from './frame.tsx';
import { words } from './words.ts';
import * as drawnCss from './parts/drawn.module.css';
import * as emptyCss from './parts/empty.module.css';

/** Before the first entry, on a device no server knows: what this is, for whom, and the ways to begin. */
export function FirstUse() {
  const place = placeOf();
  return (
    <div>
      <p class={drawnCss.drawn}>
        <MeasureMark />
      </p>
      <div class={emptyCss.empty}>
        <p>{words.first.stays}</p>
        {place.ios && !place.standalone && <p>{words.first.ios}</p>}
        <p class="quiet">{words.first.caution}</p>
        <div class="btns">
          <a class="btn" href="/sign-in">
            {words.first.signIn}
          </a>
          <a class="btn" href="/pair">
            {words.first.pair}
          </a>
        </div>
        <a class="link" href="/pour">
          {words.first.plain}
        </a>
      </div>
    </div>
  );
}
