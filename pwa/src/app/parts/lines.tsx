import type { ComponentChildren } from 'preact';
import type { Id, LineView } from '../../shared/core.ts';
import { ml, percent, unitName } from '../format.ts';
import { Mark } from '../state-mark.tsx';
import { words } from '../words.ts';
import * as linesCss from './lines.module.css';
import * as toneCss from './tone.module.css';
import * as stateMarkCss from '../state-mark.module.css';

interface LinesProps {
  lines: readonly LineView[];
  /** Where the two values of a line are chosen between. */
  clashHref?: string | undefined;
  /** Lines that can be changed in place: which one is open, and what stands under it. */
  edit?: { open: Id | null; onOpen: (line: LineView) => void; form: (line: LineView) => ComponentChildren };
}

/** The lines of a spec or a glass: amount, what, and the millilitres it comes to. */
export function Lines({ lines, clashHref, edit }: LinesProps) {
  return (
    <ol class={linesCss.lines}>
      {lines.map((line) => (
        <li key={line.id}>
          {edit ? (
            <button
              type="button"
              class={linesCss.line}
              aria-expanded={edit.open === line.id}
              aria-label={words.spec.changeLine(lineText(line))}
              onClick={() => edit.onOpen(line)}
            >
              <Line line={line} />
            </button>
          ) : (
            <div class={linesCss.line}>
              <Line line={line} />
            </div>
          )}
          {line.clash && line.or !== null && (
            <p class={`${stateMarkCss.state} ${toneCss.look} ${linesCss.under}`}>
              <Mark shape="offset" />
              {clashHref ? <a href={clashHref}>{words.orValue(line.or)}</a> : words.orValue(line.or)}
            </p>
          )}
          {edit?.open === line.id && edit.form(line)}
        </li>
      ))}
    </ol>
  );
}

function Line({ line }: { line: LineView }) {
  return (
    <>
      <span class={linesCss.amt}>
        {line.amount || (line.open && unitName(line.open, 1))}
        {line.amount && line.unit !== 'piece' && (
          <>
            {' '}
            <small>{unitName(line.unit, line.amount === '1' ? 1 : 2)}</small>
          </>
        )}
      </span>
      <span>
        {lineName(line)}
        {line.changed && (
          <>
            {' '}
            <span class="quiet">{words.changedLine}</span>
          </>
        )}
      </span>
      <span class="quiet">{line.unit === 'ml' && !line.estimate ? '' : lineVolume(line)}</span>
    </>
  );
}

/** "1¼ oz juniper-heavy gin, 47 %", as one says it. */
export function lineText(line: LineView): string {
  const amount = line.amount || (line.open && unitName(line.open, 1));
  const unit = line.amount && line.unit !== 'piece' ? unitName(line.unit, line.amount === '1' ? 1 : 2) : '';
  return [amount, unit, lineName(line)].filter(Boolean).join(' ');
}

/** "juniper-heavy gin, 47 %", with the strength unless the name says it. */
export function lineName(line: { name: string; abv_percent: number | null; note?: string }): string {
  const strength =
    line.abv_percent !== null && line.abv_percent > 0 && !line.name.includes('%')
      ? `, ${percent(line.abv_percent)}`
      : '';
  const note = line.note ? ` (${line.note})` : '';
  return line.name + strength + note;
}

export function lineVolume(line: LineView): string {
  if (line.volume_ml === null) return line.open ? words.openAmount : '';
  return line.estimate ? words.about(ml(line.volume_ml)) : ml(line.volume_ml);
}
