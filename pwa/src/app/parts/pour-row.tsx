import type { PourRow } from '../../shared/core.ts';
import { alcohol, share, tight } from '../format.ts';
import { Mark } from '../state-mark.tsx';
import { words } from '../words.ts';
import { MiniScore } from './score.tsx';
import * as noteCss from './note.module.css';
import * as pourRowCss from './pour-row.module.css';
import * as toneCss from './tone.module.css';
import * as stateMarkCss from '../state-mark.module.css';

/** Which version it was: "benchmark", a riff's name, or nothing for a plain drink. */
export const pourVersion = (pour: PourRow): string => (pour.benchmark ? words.tonight.benchmark : tight(pour.version));

/** "benchmark · half the glass · no score yet": what is worth saying of a pour under its name. */
function pourDetail(pour: PourRow): string {
  const said = [];
  if (pourVersion(pour)) said.push(pourVersion(pour));
  if (pour.share_bp === 0) said.push(words.sheet.forSomeoneElse);
  else if (pour.share_bp !== 10000) said.push(words.tonight.shareOf(share(pour.share_bp)));
  if (!pour.plain && pour.score_x10 === null) said.push(words.tonight.noScore);
  return said.join(' · ');
}

/** When it was; on a night the clocks change also by which clock. */
export function PourAt({ pour }: { pour: PourRow }) {
  return (
    <span class={pourRowCss.at} data-testid="at">
      {pour.time}
      {pour.utc && <small>{` ${pour.utc}`}</small>}
    </span>
  );
}

/** `whole`: the row it stands in is one link. */
export function PourWhat({ pour, whole = false }: { pour: PourRow; whole?: boolean }) {
  return (
    <div>
      <p class="name">
        <a class={whole ? `${pourRowCss.bare} ${pourRowCss.stretched}` : pourRowCss.bare} href={`/journal/${pour.id}`}>
          {pour.name}
        </a>
      </p>
      {pourDetail(pour) && <p class="quiet">{pourDetail(pour)}</p>}
      {pour.score_x10 !== null && <MiniScore x10={pour.score_x10} />}
      {pour.note && <p class={`${noteCss.note} quiet`}>{pour.note}</p>}
      {pour.clash && (
        <p class={`${stateMarkCss.state} ${toneCss.look} ${pourRowCss.above}`}>
          <Mark shape="offset" />
          <a href={`/clash/${pour.id}`}>{words.twoValues}</a>
        </p>
      )}
      {pour.deleted_changed && (
        <p class={`${stateMarkCss.state} ${toneCss.look} ${pourRowCss.above}`}>
          <Mark shape="triangle" />
          <a href={`/journal/${pour.id}`}>{words.deletedChanged}</a>
        </p>
      )}
    </div>
  );
}

export function PourDrinks({ pour }: { pour: PourRow }) {
  return (
    <span class="n" data-testid="drinks">
      {alcohol(pour.alcohol)}
    </span>
  );
}
