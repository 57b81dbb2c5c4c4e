import type { MakingsAnswer } from '../../../shared/core.ts';
import { useAnswer } from '../../core-client.ts';
import { decimal, ml, money, shortDay } from '../../format.ts';
import { Frame } from '../../frame.tsx';
import { Empty } from '../../parts/empty.tsx';
import { Level } from '../../parts/level.tsx';
import { Once } from '../../parts/once.tsx';
import { save } from '../../parts/saved.tsx';
import { Waiting } from '../../parts/waiting.tsx';
import { Mark } from '../../state-mark.tsx';
import { later } from '../../words.ts';
import * as standsCss from '../../parts/stands.module.css';
import * as toneCss from '../../parts/tone.module.css';
import * as whyCss from '../../parts/why.module.css';
import * as css from './style.module.css';
import * as stateMarkCss from '../../state-mark.module.css';

type Row = MakingsAnswer['rows'][number];

/** /making: what was made to keep, and what is left of it. */
export function Makings() {
  const { answer, slow, fault, old } = useAnswer({ q: 'makings' });
  return (
    <Frame title={later.making.title} sub={later.making.what} away="/bottles">
      <div class="narrow">
        <div class={`btns ${css.madeWays}`}>
          <a class="btn" href="/making/syrup">
            {later.making.syrup}
          </a>
          <a class="btn" href="/making/infusion">
            {later.making.infusion}
          </a>
          <a class="btn" href="/making/cut">
            {later.making.cut}
          </a>
        </div>
        {!answer ? (
          <Waiting slow={slow} fault={fault} />
        ) : answer.rows.length === 0 ? (
          <Empty title={later.making.emptyTitle}>
            <p>{later.making.empty}</p>
            <a class="link" href="/specs">
              {later.making.toSpecs}
            </a>
          </Empty>
        ) : (
          <section class={old ? 'part dim' : 'part'}>
            <h2>{later.making.list}</h2>
            <ul class="rows">
              {answer.rows.map((row) => (
                <li key={row.id} class={standsCss.bottle}>
                  <Made row={row} />
                </li>
              ))}
            </ul>
          </section>
        )}
      </div>
    </Frame>
  );
}

function Made({ row }: { row: Row }) {
  const made = [
    row.made_ml === null ? '' : later.making.made(ml(row.made_ml)),
    row.servings === null || row.servings === 0 ? '' : later.making.glasses(decimal(row.servings, 1, 0)),
    ...row.cost.map((cost) => later.making.cost(money(cost.minor, cost.currency), cost.partial)),
  ].filter(Boolean);
  return (
    <>
      <div class={standsCss.stands}>
        <div>
          <h3 class="name">{row.name}</h3>
          <p class="quiet">{[later.making.sort[row.sort], later.making.on(shortDay(row.on))].join(' · ')}</p>
          {made.length > 0 && <p class="quiet">{made.join(' · ')}</p>}
          {row.keep_by === null ? (
            <p class="quiet">{later.making.noKeep}</p>
          ) : row.over ? (
            <p class={`${stateMarkCss.state} ${toneCss.look}`}>
              <Mark shape="triangle" />
              {later.making.over(shortDay(row.keep_by))}
            </p>
          ) : (
            <p>{later.making.keepBy(shortDay(row.keep_by))}</p>
          )}
        </div>
        <div class="end">
          <p>
            {row.left_ml === null
              ? later.making.leftUnknown
              : row.left_ml <= 0
                ? later.making.noneLeft
                : later.making.left(ml(Math.round(row.left_ml)))}
          </p>
          <Level left={row.left_ml} size={row.made_ml} />
        </div>
      </div>
      <details class={`${whyCss.why} ${whyCss.unruled}`}>
        <summary aria-label={later.making.moreOf(row.name)}>{later.making.more}</summary>
        {row.draws.length === 0 ? (
          <p class="quiet">{later.making.drewNone}</p>
        ) : (
          <ul>
            {row.draws.map((draw) => (
              <li key={draw.bottle} class="quiet">
                {later.making.drew(ml(draw.ml), draw.name)}
              </li>
            ))}
          </ul>
        )}
        <div class="btns">
          {row.spec !== null && (
            <a class="btn" href={`/specs/${row.spec}`}>
              {later.making.spec}
            </a>
          )}
          <Once
            control={`delete ${row.id}`}
            class="btn"
            act={() =>
              save({ do: 'delete', id: row.id }, later.making.deleted(row.name), () => ({
                do: 'restore',
                id: row.id,
              }))
            }
          >
            {later.making.delete}
          </Once>
        </div>
      </details>
    </>
  );
}
