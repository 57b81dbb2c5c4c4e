import { signal } from '@preact/signals';
import type { Id, SpecRow, SpecsAnswer } from '../../../shared/core.ts';
import { type Live, useAnswer } from '../../core-client.ts';
import { score, shortDay, tight } from '../../format.ts';
import { Empty } from '../../parts/empty.tsx';
import { Field } from '../../parts/field.tsx';
import { Waiting } from '../../parts/waiting.tsx';
import { Mark } from '../../state-mark.tsx';
import { later, words } from '../../words.ts';
import * as toneCss from '../../parts/tone.module.css';
import * as versionsCss from '../../parts/versions.module.css';
import * as css from './style.module.css';
import * as stateMarkCss from '../../state-mark.module.css';

/** What is looked for stays as it is while single specs are opened. */
export const find = signal('');

/** The question of the list, wherever it stands. */
export const useSpecs = () => useAnswer({ q: 'specs', ...(find.value === '' ? {} : { text: find.value }) });

/** The spec a drink opens with: its benchmark stands first. */
export const firstOf = (answer: SpecsAnswer): Id | null =>
  answer.drinks[0]?.specs[0]?.id ?? answer.loose[0]?.id ?? null;

/** Drinks with their specs and riffs. */
export function SpecsList({ live, current }: { live: Live<SpecsAnswer>; current: Id | null }) {
  const { answer, slow, fault, old } = live;
  if (!answer) return <Waiting slow={slow} fault={fault} />;
  const none = answer.drinks.length === 0 && answer.loose.length === 0;
  if (none && find.value === '') {
    return (
      <Empty title={later.specs.emptyTitle}>
        <p>{later.specs.empty}</p>
      </Empty>
    );
  }
  return (
    <div class={old ? 'dim' : undefined}>
      <Field
        label={words.find}
        type="search"
        value={find.value}
        onInput={(text) => {
          find.value = text;
        }}
      />
      <p>
        <a class="link" href="/side">
          {later.specs.compare}
        </a>
      </p>
      {none && <p role="status">{words.nothingFound(find.value)}</p>}
      <ul>
        {answer.drinks.map((drink) => (
          <li key={drink.id} class={css.drink}>
            <h2 class="name">{drink.name}</h2>
            <ul class={versionsCss.versions}>
              {drink.specs.map((row) => (
                <Row key={row.id} row={row} current={row.id === current} />
              ))}
            </ul>
          </li>
        ))}
      </ul>
      {answer.loose.length > 0 && (
        <section class="part">
          <h2>{later.specs.loose}</h2>
          <ul class={versionsCss.versions}>
            {answer.loose.map((row) => (
              <Row key={row.id} row={row} current={row.id === current} />
            ))}
          </ul>
        </section>
      )}
    </div>
  );
}

export const versionName = (row: SpecRow): string =>
  row.benchmark ? words.specs.benchmark : tight(row.name) || words.spec.unnamed;

/** "best 8, poured twice": what came of a version so far. */
export function versionRecord(row: SpecRow): string {
  const poured = later.specs.poured(row.poured);
  return row.best_x10 === null ? poured : later.specs.scored(score(row.best_x10), poured);
}

function Row({ row, current }: { row: SpecRow; current: boolean }) {
  return (
    <li>
      <a class={versionsCss.version} href={`/specs/${row.id}`} aria-current={current ? 'page' : undefined}>
        <span>
          {versionName(row)}
          {row.clash && (
            <span class={`${stateMarkCss.state} ${toneCss.look} ${versionsCss.clear}`}>
              <Mark shape="offset" />
              {words.twoValues}
            </span>
          )}
        </span>
        <span class="quiet end">
          {versionRecord(row)}
          {row.last_day !== null && (
            <>
              <br />
              {later.specs.last(shortDay(row.last_day))}
            </>
          )}
        </span>
      </a>
    </li>
  );
}
