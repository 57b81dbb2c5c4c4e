import { score } from '../format.ts';
import * as scaleCss from './scale.module.css';
import * as scoreCss from './score.module.css';

const at = (x10: number) => Math.round((6 + (x10 / 100) * 228) * 10) / 10;
const small = Array.from({ length: 10 }, (_, i) => `M${at(i * 10 + 5)} 30v-7`).join('');
const large = Array.from({ length: 11 }, (_, i) => `M${at(i * 10)} 30v${i % 5 === 0 ? -16 : -12}`).join('');

/** Nought to ten on an etched line, the level at the score. */
export function ScoreScale({ x10 }: { x10: number | null }) {
  return (
    <svg class={scoreCss.score} viewBox="0 0 240 32" aria-hidden="true">
      <path class={scaleCss.sAxis} d="M6 30H234" />
      <path class={`${scaleCss.sTick} ${scaleCss.minor}`} d={small} />
      <path class={scaleCss.sTick} d={large} />
      {x10 !== null && (
        <>
          <path class={scaleCss.sLevel} d={`M${at(x10)} 3V30`} />
          <path class={scaleCss.sDot} d={`M${at(x10) - 6} 0h12l-6 9z`} />
        </>
      )}
    </svg>
  );
}

const smallAt = (x10: number) => Math.round((2 + (x10 / 100) * 80) * 10) / 10;
const smallTicks = Array.from({ length: 11 }, (_, i) => `M${2 + i * 8} 12v${i % 5 === 0 ? -7 : -4}`).join('');

/** The same, small, for a row: the figure stands beside it. */
export function MiniScore({ x10 }: { x10: number }) {
  return (
    <p class="quiet">
      <svg class={scoreCss.mini} viewBox="0 0 84 12" aria-hidden="true">
        <path class={scaleCss.sAxis} d="M2 12H82" />
        <path class={scaleCss.sTick} d={smallTicks} />
        <path class={scaleCss.sLevel} d={`M${smallAt(x10)} 1v11`} />
      </svg>
      {score(x10)}
    </p>
  );
}
