import type { LineView } from '../../shared/core.ts';
import { ml, percent } from '../format.ts';
import { Mark } from '../state-mark.tsx';
import { words } from '../words.ts';

/** The lines of a spec or a glass: amount, what, and the millilitres it comes to. */
export function Lines({ lines, clashHref }: { lines: readonly LineView[]; clashHref?: string | undefined }) {
  return (
    <ol class="lines">
      {lines.map((line) => (
        <li key={line.id}>
          <span class="amt">{line.amount || (line.open && words.unit(line.open, 1))}{line.amount && line.unit !== 'piece' && <> <small>{words.unit(line.unit, line.amount === '1' ? 1 : 2)}</small></>}</span>
          <span>
            {lineName(line)}
            {line.changed && <> <span class="quiet">{words.changedLine}</span></>}
            {line.clash && line.or !== null && <> <span class="state look"><Mark shape="offset" />{clashHref ? <a href={clashHref}>{words.orValue(line.or)}</a> : words.orValue(line.or)}</span></>}
          </span>
          <span class="quiet">{volume(line)}</span>
        </li>
      ))}
    </ol>
  );
}

/** "juniper-heavy gin, 47 %", with the strength unless the name says it. */
export function lineName(line: { name: string; abv_percent: number | null; note?: string }): string {
  const strength = line.abv_percent !== null && line.abv_percent > 0 && !line.name.includes('%') ? `, ${percent(line.abv_percent)}` : '';
  const note = line.note ? ` (${line.note})` : '';
  return line.name + strength + note;
}

function volume(line: LineView): string {
  if (line.volume_ml === null) return line.open ? words.openAmount : '';
  return line.estimate ? words.about(ml(line.volume_ml)) : ml(line.volume_ml);
}
