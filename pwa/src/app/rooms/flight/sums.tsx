import { useState } from 'preact/hooks';
import type { ComparisonAnswer, Id, PlanAnswer, SpecView } from '../../../shared/core.ts';
import { useAnswer } from '../../core-client.ts';
import { alcohol, countryName, decimal, drinks, listOf, tight } from '../../format.ts';
import { Field } from '../../parts/field.tsx';
import { readNumber } from '../../parts/read-number.ts';
import { save } from '../../parts/saved.tsx';
import { Mark } from '../../state-mark.tsx';
import { later } from '../../words.ts';
import { overAlready } from './planned.ts';
import * as linedCss from '../../parts/lined.module.css';
import * as toneCss from '../../parts/tone.module.css';
import * as planningCss from './planning.module.css';

interface SumsProps {
  plan: PlanAnswer;
  comparison: ComparisonAnswer;
  base: Id;
}

/** What was drunk, what the flight would be, and the limit; it fits or it does not. Never how much would fit. */
export function Sums({ plan, comparison, base }: SumsProps) {
  const own = plan.limit_from === 'own_day';
  return (
    <section class={`part first ${planningCss.sums}`}>
      <h2>{later.planning.sums(decimal(plan.unit.grams, 2, 0), countryName(plan.unit.country))}</h2>
      <dl>
        <div>
          <dt>{later.planning.today}</dt>
          <dd>{alcohol(plan.today)}</dd>
        </div>
        <div>
          <dt>{later.planning.session}</dt>
          <dd>{alcohol(plan.session)}</dd>
        </div>
        <div>
          <dt>{later.planning.flight}</dt>
          <dd>{alcohol(plan.flight)}</dd>
        </div>
        <div>
          <dt>
            {later.planning.limit}{' '}
            <span class={`quiet ${linedCss.lined}`}>{own ? later.planning.ownDay : later.planning.usual}</span>
          </dt>
          <dd>{drinks(plan.limit_drinks)}</dd>
        </div>
      </dl>
      <div role="status">
        {plan.fits ? (
          <p class={planningCss.fitting}>{later.planning.fits}</p>
        ) : (
          <p class={`${planningCss.fitting} ${toneCss.look} ${planningCss.beyond}`}>
            <Mark shape="triangle" />
            <span>{refusedBy(plan)}</span>
          </p>
        )}
      </div>
      {plan.unknown.length > 0 && !overAlready(plan) && (
        <Unknown names={plan.unknown} comparison={comparison} base={base} />
      )}
      {!own && plan.fits && (
        <a class="link" href="/keeper/settings">
          {later.planning.setOwn}
        </a>
      )}
    </section>
  );
}

/** Why this flight is not set up. */
const refusedBy = (plan: PlanAnswer): string =>
  overAlready(plan)
    ? later.planning.overAlready
    : plan.unknown.length > 0
      ? later.planning.unknown
      : later.planning.over;

/** Whose strength is not known: given here where it is an ingredient of the flight, in the journal where it was drunk. */
function Unknown({ names, comparison, base }: { names: readonly string[]; comparison: ComparisonAnswer; base: Id }) {
  const { answer: spec } = useAnswer({ q: 'spec', id: base });
  if (!spec) return null;
  const known = new Map(names.map((name) => [name, ingredientOf(name, comparison, spec)]));
  const rest = names.filter((name) => known.get(name) === undefined);
  return (
    <>
      {names.map((name) => {
        const ingredient = known.get(name);
        return ingredient !== undefined && <Strength key={name} ingredient={ingredient} name={tight(name)} />;
      })}
      {rest.length > 0 && (
        <p>
          {later.planning.elsewhere(listOf(rest.map(tight)))}{' '}
          <a class="link" href="/journal">
            {later.planning.toJournal}
          </a>
        </p>
      )}
    </>
  );
}

/** The ingredient of this name in the comparison or its base; of what may be put to it the name stands behind its amount. */
function ingredientOf(name: string, { swaps }: ComparisonAnswer, spec: SpecView): Id | undefined {
  for (const { addition, effects } of swaps)
    for (const it of effects)
      if (it.ingredient && (it.name === name || (addition && it.name.endsWith(` ${name}`)))) return it.ingredient;
  return spec.lines.find((it) => it.name === name)?.ingredient ?? undefined;
}

function Strength({ ingredient, name }: { ingredient: Id; name: string }) {
  const [text, setText] = useState('');
  const [wrong, setWrong] = useState('');
  return (
    <form
      noValidate
      class={planningCss.strength}
      onSubmit={(event) => {
        event.preventDefault();
        const percent = readNumber(text);
        if (percent === null || percent > 100) return setWrong(later.planning.needStrength(text));
        const edit = (abv_bp: number | null) => ({
          do: 'edit' as const,
          id: ingredient,
          kind: 'ingredient',
          set: { abv_bp },
        });
        void save(edit(Math.round(percent * 100)), later.planning.strengthSaved(name), () => edit(null));
      }}
    >
      <Field
        label={later.planning.strengthOf(name)}
        value={text}
        inputMode="decimal"
        onInput={(typed) => {
          setWrong('');
          setText(typed);
        }}
        error={wrong}
        help={later.planning.strengthHelp}
      />
      <button type="submit" class="btn" aria-label={later.planning.keepStrengthOf(name)}>
        {later.planning.keepStrength}
      </button>
    </form>
  );
}
