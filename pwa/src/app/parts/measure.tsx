import type { Figure, Usual, Verdict } from '../../shared/core.ts';
import { clamp, openAxis, place, px, stripAxis, ticks, type Axis } from './scale.ts';
import * as measureCss from './measure.module.css';
import * as scaleCss from './scale.module.css';

/**
 * One quantity on a measure: etched lines, the family's usual range as a strip, the band of doubt, the level read at
 * the lowest point of its curve. Drawn twice, standing and lying; the style sheet shows the one that fits. The number,
 * its band and the verdict stand beside it in words, so the drawing itself is hidden from a screen reader.
 */
interface MeasureProps {
  figure: Figure;
  usual: Usual | null;
  verdict: Verdict;
  labels: { low: string; high: string } | null;
}

/** No viewBox: a measure keeps its scale, and the strip of its range fills the column, however wide it is. */
const tall = { height: 156, top: 42.3, bottom: 93.3, reach: 2000 } as const;
const wide = { width: 200, height: 24, from: 66, to: 130 } as const;

/** A range of one point (a row that gives a single figure) still needs a strip to stand in. */
function opened({ lo, hi }: Usual): Usual {
  return hi - lo > Math.abs(hi) * 1e-6 ? { lo, hi } : { lo: lo * 0.95 - 1e-3, hi: hi * 1.05 + 1e-3 };
}

const dashes = (at: readonly number[], draw: (place: number) => string) => at.map(draw).join('');

export function Measure(props: MeasureProps) {
  return (
    <>
      <Standing {...props} />
      <Lying {...props} />
    </>
  );
}

function Standing({ figure, usual, verdict, labels }: MeasureProps) {
  const { height, top, bottom, reach } = tall;
  const strip = usual && opened(usual);
  const axis: Axis = strip
    ? stripAxis(strip.lo, strip.hi, top, bottom, height)
    : openAxis(figure.hi ?? figure.v ?? 1, height);
  const etched = ticks(axis);
  const off = verdict === 'above' || verdict === 'below';
  const y = figure.v === null ? null : px(clamp(place(axis, figure.v), 6, height - 12));
  return (
    <svg class={measureCss.v} height={height} aria-hidden="true">
      {usual && (
        <>
          <rect class={scaleCss.sRange} x="0" y={top} width="100%" height={bottom - top} />
          <path class={scaleCss.sEdge} d={`M0 ${top}H${reach}M0 ${bottom}H${reach}`} />
        </>
      )}
      <path class={`${scaleCss.sTick} ${scaleCss.minor}`} d={dashes(etched.short, (at) => `M1 ${at}h6`)} />
      <path class={scaleCss.sTick} d={dashes(etched.long, (at) => `M1 ${at}h12`)} />
      <path class={scaleCss.sWall} d={`M.5 0V${height}M32.5 0V${height}`} />
      {y !== null && (
        <Band
          from={place(axis, figure.hi ?? figure.v ?? 0)}
          to={place(axis, figure.lo ?? figure.v ?? 0)}
          height={height}
        />
      )}
      {y !== null && (
        <path
          class={off ? `${scaleCss.sLevel} ${scaleCss.off}` : scaleCss.sLevel}
          d={`M2 ${px(y - 5)}Q16.5 ${px(y + 5)} 31 ${px(y - 5)}`}
        />
      )}
      {y !== null && off && (
        <path
          class={scaleCss.sOff}
          d={verdict === 'above' ? `M37 ${px(y - 6)}l5 8h-10z` : `M37 ${px(y + 4)}l5 -8h-10z`}
        />
      )}
      {labels && (
        <>
          <text class={scaleCss.sText} x="37" y={top + 14}>
            {labels.high}
          </text>
          <text class={scaleCss.sText} x="37" y={bottom - 4}>
            {labels.low}
          </text>
        </>
      )}
    </svg>
  );
}

function Band({ from, to, height }: { from: number; to: number; height: number }) {
  const top = px(clamp(from, 2, height - 2));
  const bottom = px(clamp(to, 2, height - 2));
  if (bottom - top < 1) return null;
  return <rect class={scaleCss.sBand} x="19" y={top} width="5" height={px(bottom - top)} />;
}

function Lying({ figure, usual, verdict }: MeasureProps) {
  const { width, height, from, to } = wide;
  const strip = usual && opened(usual);
  const axis: Axis = strip
    ? {
        from: [
          strip.lo - ((strip.hi - strip.lo) * from) / (to - from),
          strip.hi + ((strip.hi - strip.lo) * (width - to)) / (to - from),
        ],
        to: [0, width],
      }
    : { from: [0, openAxis(figure.hi ?? figure.v ?? 1, width).from[1]], to: [0, width] };
  const etched = ticks(axis, 8);
  const off = verdict === 'above' || verdict === 'below';
  const at = (value: number) => px(clamp(place(axis, value), 2, width - 2));
  const low = figure.lo === null ? null : at(figure.lo);
  const high = figure.hi === null ? null : at(figure.hi);
  return (
    <svg class={measureCss.h} viewBox={`0 0 ${width} ${height}`} preserveAspectRatio="none" aria-hidden="true">
      {usual && (
        <>
          <rect class={scaleCss.sRange} x={from} y="0" width={to - from} height={height} />
          <path class={scaleCss.sEdge} d={`M${from} 0V24M${to} 0V24`} />
        </>
      )}
      <path class={scaleCss.sAxis} d="M0 24H200" />
      <path class={`${scaleCss.sTick} ${scaleCss.minor}`} d={dashes(etched.short, (x) => `M${x} 24v-4`)} />
      <path class={scaleCss.sTick} d={dashes(etched.long, (x) => `M${x} 24v-8`)} />
      {low !== null && high !== null && high > low && (
        <rect class={scaleCss.sBand} x={low} y="8" width={px(high - low)} height="5" />
      )}
      {figure.v !== null && (
        <path class={off ? `${scaleCss.sLevel} ${scaleCss.off}` : scaleCss.sLevel} d={`M${at(figure.v)} 4v13`} />
      )}
    </svg>
  );
}
