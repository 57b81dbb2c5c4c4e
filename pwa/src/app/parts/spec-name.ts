import type { SpecView } from '../../shared/core.ts';
import { words } from '../words.ts';

/** What a spec goes by: its drink, else itself. */
export const specTitle = (view: SpecView): string => view.drink_name || view.name || words.spec.unnamed;

/** Which version of its drink it is: the benchmark, its own name, or how it differs; '' for one that stands alone. */
export function specVersion(view: SpecView): string {
  if (view.benchmark) return words.specs.benchmark;
  const name = view.name || (view.tree.find(({ row }) => row.id === view.id)?.row.name ?? '');
  return name === specTitle(view) ? '' : name;
}
