import { barBox, barsOf } from './bars.ts';
import * as barChartCss from './bar-chart.module.css';

/** Plain bars with dashed lines across them: ink only, no level that fills. Null is nothing logged. */
export function BarChart({
  amounts,
  limits,
  said,
}: {
  amounts: readonly (number | null)[];
  limits: readonly number[];
  /** The figures in words. */
  said: string;
}) {
  const drawn = barsOf(amounts, limits);
  return (
    <svg
      class={barChartCss.area}
      viewBox={`0 0 ${barBox.width} ${barBox.height}`}
      preserveAspectRatio="none"
      role="img"
      aria-label={said}
    >
      {drawn.bars.map((bar) => (
        <rect key={bar.x} class={barChartCss.bBar} x={bar.x} y={bar.y} width={bar.width} height={bar.height} />
      ))}
      <path class={barChartCss.bBase} d={`M0 ${barBox.base + 0.5}H${barBox.width}`} />
      {drawn.lines.map((y) => (
        <path key={y} class={barChartCss.bLine} d={`M0 ${y}H${barBox.width}`} />
      ))}
      {drawn.cuts.map((cut) => (
        <path key={`${cut.x} ${cut.y}`} class={barChartCss.bCut} d={`M${cut.x} ${cut.y}h${cut.width}`} />
      ))}
    </svg>
  );
}
