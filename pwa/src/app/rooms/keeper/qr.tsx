import { encode } from 'uqr';
import * as css from './style.module.css';

/** Black on white whatever the theme, with four modules of border, as scanners expect. */
export function Qr({ text, label }: { text: string; label: string }) {
  const { size, data } = encode(text, { ecc: 'M', border: 4 });
  return (
    <svg class={css.qr} viewBox={`0 0 ${size} ${size}`} shape-rendering="crispEdges" role="img" aria-label={label}>
      <rect width={size} height={size} fill="#fff" />
      <path d={pathOf(data)} fill="#000" />
    </svg>
  );
}

/** The black modules as one path: a stroke of its own for each run in a row. */
export function pathOf(rows: readonly (readonly boolean[])[]): string {
  let path = '';
  rows.forEach((row, y) => {
    for (let x = 0; x < row.length; x++) {
      if (!row[x]) continue;
      const from = x;
      while (row[x + 1]) x++;
      const n = x - from + 1;
      path += `M${from} ${y}h${n}v1h-${n}z`;
    }
  });
  return path;
}
