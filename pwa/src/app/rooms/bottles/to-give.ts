import type { BottlesAnswer } from '../../../shared/core.ts';
import { detailsOf, ml, percent } from '../../format.ts';
import { later } from '../../words.ts';

/** What could be given away, a line for each bottle that is not finished. */
export function giveAway(rows: BottlesAnswer['rows']): string[] {
  return rows
    .filter((row) => row.finished_on === null && row.left_ml !== 0)
    .map((row) => {
      const strength = row.abv_percent === null || row.name.includes('%') ? '' : percent(row.abv_percent);
      const name = detailsOf([row.name, strength]);
      const left = row.left_ml === null ? later.bottles.leftUnknown : later.bottles.left(ml(row.left_ml));
      return later.bottles.giveLine(name, row.opened_on === null ? later.bottles.unopened : left);
    });
}
