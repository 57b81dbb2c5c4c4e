import type { PourRow } from '../../shared/core.ts';
import { alcohol, share, tight } from '../format.ts';
import { Mark } from '../state-mark.tsx';
import { words } from '../words.ts';
import { MiniScore } from './score.tsx';

/** Which version it was: "benchmark", a riff's name, or nothing for a plain drink. */
export const pourVersion = (pour: PourRow): string => (pour.benchmark ? words.tonight.benchmark : tight(pour.version));

/** "benchmark · half the glass · no score yet": what is worth saying of a pour under its name. */
export function pourDetail(pour: PourRow): string {
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
    <span class="at" data-testid="at">
      {pour.time}
      {pour.utc && <small>{` ${pour.utc}`}</small>}
    </span>
  );
}

export function PourWhat({ pour }: { pour: PourRow }) {
  return (
    <div class="what">
      <p class="name">
        <a class="bare" href={`/journal/${pour.id}`}>
          {pour.name}
        </a>
      </p>
      {pourDetail(pour) && <p class="quiet">{pourDetail(pour)}</p>}
      {pour.score_x10 !== null && <MiniScore x10={pour.score_x10} />}
      {pour.note && <p class="note quiet">{pour.note}</p>}
      {pour.clash && (
        <p class="state look">
          <Mark shape="offset" />
          <a href={`/clash/${pour.id}`}>{words.twoValues}</a>
        </p>
      )}
      {pour.deleted_changed && (
        <p class="state look">
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
