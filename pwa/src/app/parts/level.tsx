import { px, step } from './scale.ts';
import * as levelCss from './level.module.css';
import * as scaleCss from './scale.module.css';

const width = 160;
const least = 4;

/** What is left, as a level on a lying measure from empty to full; the figure stands beside it in words. */
export function Level({ left, size }: { left: number | null; size: number | null }) {
  if (size === null || size <= 0) return null;
  const by = step(size / width, least);
  let short = '';
  let long = '';
  for (let n = 0; n * by <= size * (1 + 1e-9); n++) {
    const x = px((n * by * width) / size);
    if (n % 5 === 0) long += `M${x} 16v-8`;
    else short += `M${x} 16v-4`;
  }
  const at = left === null ? null : px(Math.min(Math.max(left / size, 0), 1) * width);
  return (
    <svg class={levelCss.level} viewBox={`0 0 ${width} 16`} preserveAspectRatio="none" aria-hidden="true">
      <path class={scaleCss.sAxis} d={`M0 16H${width}`} />
      <path class={`${scaleCss.sTick} ${scaleCss.minor}`} d={short} />
      <path class={scaleCss.sTick} d={long} />
      <path class={scaleCss.sWall} d={`M0 0V16M${width} 0V16`} />
      {at !== null && <rect class={scaleCss.sBand} x="0" y="6" width={at} height="4" />}
      {at !== null && <path class={scaleCss.sLevel} d={`M${at} 2v14`} />}
    </svg>
  );
}
