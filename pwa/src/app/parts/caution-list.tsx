import type { Caution } from '../../shared/core.ts';
import { listOf } from '../format.ts';
import { later } from '../words.ts';
import * as css from './caution-list.module.css';

/** Sentences beside the thing: what to be careful about, whom it is for, and where that comes from. */
export function Cautions({ cautions }: { cautions: readonly Caution[] }) {
  if (cautions.length === 0) return null;
  const allergens = cautions.filter(({ code }) => code.startsWith('allergen.'));
  const others = cautions.filter(({ code }) => !code.startsWith('allergen.'));
  const sources = [...new Set(cautions.map(({ marking }) => marking).filter((marking) => marking !== ''))];
  return (
    <section class={`part ${css.cautionsOf}`}>
      <h2>{later.caution.title}</h2>
      <ul>
        {others.map(({ code, names }) => (
          <li key={code}>
            {names.length > 0 && later.caution.names(listOf(names))}
            {later.caution.text(code)}
          </li>
        ))}
        {allergens.length > 0 && (
          <li>
            {later.caution.allergens(
              listOf(allergens.map(({ code, names }) => later.caution.allergen(code, listOf(names)))),
            )}
          </li>
        )}
      </ul>
      {sources.length > 0 && (
        <p class="quiet">
          {later.caution.sources(sources.map((it) => (it === 'own' ? later.caution.own : it)).join('; '))}
        </p>
      )}
    </section>
  );
}
