import * as scaleCss from '../../parts/scale.module.css';
import * as css from './style.module.css';
const width = 200;
const at = (x10: number): number => Math.round((x10 / 100) * width * 10) / 10;
const short = Array.from({ length: 10 }, (_, i) => `M${at(i * 10 + 5)} 24v-4`).join('');
const long = Array.from({ length: 11 }, (_, i) => `M${at(i * 10)} 24v${i % 5 === 0 ? -10 : -7}`).join('');

/** Nought to ten; one mark a score, equal ones stand on each other. An empty scale was never scored. */
export function ScoreMarks({ scores }: { scores: readonly number[] }) {
  const seen = new Map<number, number>();
  return (
    <svg class={css.marks} viewBox={`0 0 ${width} 24`} preserveAspectRatio="none" aria-hidden="true">
      <path class={scaleCss.sAxis} d={`M0 24H${width}`} />
      <path class={`${scaleCss.sTick} ${scaleCss.minor}`} d={short} />
      <path class={scaleCss.sTick} d={long} />
      {scores.map((x10, i) => {
        const before = seen.get(x10) ?? 0;
        seen.set(x10, before + 1);
        return <path key={i} class={scaleCss.sLevel} d={`M${at(x10)} ${22 - before * 7}v-5`} />;
      })}
    </svg>
  );
}
