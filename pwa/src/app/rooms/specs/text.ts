import type { SpecView } from '../../../shared/core.ts';
import { detailsOf, standardDrinks } from '../../format.ts';
import { lineText } from '../../parts/lines.tsx';
import { specTitle, specVersion } from '../../parts/spec-name.ts';
import { later, words } from '../../words.ts';

/** A spec as plain text, to hand it to someone: its lines as read, how it is made, its alcohol. */
export function specText(view: SpecView): string {
  const title = [specTitle(view), view.benchmark ? '' : specVersion(view)];
  const how = detailsOf([view.method && words.method(view.method), view.ice, view.glass, view.garnish]);
  const glass = later.spec.alcohol(standardDrinks(view.alcohol));
  return [detailsOf(title), '', ...view.lines.map(lineText), '', how, glass, view.note && `\n${view.note}`]
    .filter((line, i, all) => line !== '' || all[i - 1] !== '')
    .join('\n')
    .trim();
}
