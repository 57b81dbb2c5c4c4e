import { useState } from 'preact/hooks';
import type { Tonight } from '../../../shared/core.ts';
import { useAnswer } from '../../core-client.ts';
import { tight, toTotal } from '../../format.ts';
import { Frame } from '../../frame.tsx';
import { newId } from '../../ids.ts';
import { PassShort } from '../../parts/guide.tsx';
import { Once } from '../../parts/once.tsx';
import { save } from '../../parts/saved.tsx';
import { Waiting } from '../../parts/waiting.tsx';
import { atOf, type Moment, When } from '../../parts/when.tsx';
import { back, go } from '../../router.ts';
import { words } from '../../words.ts';
import { plainDetail } from '../../parts/plain-detail.ts';
import { nothingTyped, usePlain } from '../../parts/plain-drink.tsx';
import * as tickboxCss from '../../parts/tickbox.module.css';
import * as toneCss from '../../parts/tone.module.css';
import * as css from './style.module.css';

/** What to pour: a spec opens its sheet, a plain drink is saved at once. */
export function Chooser() {
  const { answer, slow, fault } = useAnswer({ q: 'tonight' });
  return (
    <Frame title={words.sheet.choose} sub={words.sheet.chooseSub} away="/">
      {!answer ? <Waiting slow={slow} fault={fault} /> : <Choices answer={answer} />}
    </Frame>
  );
}

function Choices({ answer }: { answer: Tonight }) {
  const [at, setAt] = useState<Moment | null>(null);
  const [bad, setBad] = useState<string | undefined>(undefined);
  /** The chosen time, or null when it cannot be read: then it is said at its field. */
  const moment = () => {
    const { wrong, ...of } = atOf(at);
    setBad(wrong);
    return wrong ? null : of;
  };
  const totals = !answer.quiet && at === null; // another evening's total is not tonight's
  const pour = async (plain: Tonight['plains'][number]) => {
    const lived = moment();
    if (lived === null) return null;
    const done = await save(
      {
        do: 'plain',
        id: newId(),
        name: plain.name,
        vol_ul: Math.round(plain.volume_ml * 1000),
        abv_bp: plain.abv_percent === null ? null : Math.round(plain.abv_percent * 100),
        ...lived,
      },
      words.tonight.poured(plain.name),
      (made) => ({ do: 'delete', id: made.made }),
    );
    if (done) back('/');
    return done;
  };
  return (
    <div class="panes">
      <section class="part">
        <h2>{words.sheet.specs}</h2>
        {answer.specs.length === 0 ? (
          <p class={toneCss.soft}>
            {words.sheet.noSpecs}{' '}
            <a class="link" href="/specs/new">
              {words.sheet.writeSpec}
            </a>
          </p>
        ) : (
          <ul class="rows">
            {answer.specs.map((spec) => (
              <li key={spec.id}>
                <a class="row" href={`/pour/${spec.id}`}>
                  <span>
                    <span class="name">{spec.name}</span>
                    {spec.version && (
                      <>
                        <br />
                        <span class="quiet">{tight(spec.version)}</span>
                      </>
                    )}
                    {!answer.quiet && <PassShort passes={spec.passes} />}
                  </span>
                  {!answer.quiet && <span class="quiet end">{toTotal(spec.would_bring)}</span>}
                </a>
              </li>
            ))}
          </ul>
        )}
        {answer.specs.length > 0 && (
          <p>
            <a class="link" href="/specs">
              {words.sheet.allSpecs}
            </a>
          </p>
        )}
      </section>
      <div>
        <When value={at} onChange={setAt} error={bad} />
        <section class="part">
          <h2>
            {words.sheet.plains} {totals && <span>{words.sheet.tonightTo}</span>}
          </h2>
          <ul class="rows">
            {answer.plains.map((plain) => (
              <li key={plain.id}>
                <Once control={`plain ${plain.id}`} class="row" act={() => pour(plain)}>
                  <span>
                    {plain.name}
                    <br />
                    <span class="quiet">{plainDetail(plain)}</span>
                    {totals && <PassShort passes={plain.passes} />}
                  </span>
                  {totals && <span class="quiet end">{toTotal(plain.would_bring)}</span>}
                </Once>
              </li>
            ))}
          </ul>
        </section>
        <ul class="rows">
          {(
            [
              ['/pour/log', words.logging.link],
              ['/pour/guess', words.guessing.link],
            ] as const
          ).map(([href, name]) => (
            <li key={href}>
              <a class="row" href={href}>
                <span>{name}</span>
              </a>
            </li>
          ))}
        </ul>
        <Other moment={moment} />
      </div>
    </div>
  );
}

/** Any other drink: what it is, how much, how strong. An empty strength is unknown, never nought. */
function Other({ moment }: { moment: () => Omit<ReturnType<typeof atOf>, 'wrong'> | null }) {
  const { fields, read } = usePlain(nothingTyped);
  const [keep, setKeep] = useState(false);
  const submit = async (event: Event) => {
    event.preventDefault();
    const plain = read();
    const lived = moment();
    if (plain === null || lived === null) return;
    const done = await save(
      { do: 'plain', id: newId(), ...plain, keep, ...lived },
      words.tonight.poured(plain.name),
      (made) => ({ do: 'delete', id: made.made }),
    );
    if (done) go('/', true);
  };
  return (
    <section class="part">
      <h2>{words.sheet.other}</h2>
      <form class={css.stack} noValidate onSubmit={(event) => void submit(event)}>
        {fields}
        <label class={tickboxCss.tickbox}>
          <input type="checkbox" checked={keep} onChange={(event) => setKeep(event.currentTarget.checked)} />{' '}
          {words.sheet.keep}
        </label>
        <button type="submit" class="btn strong">
          {words.sheet.pourOther}
        </button>
      </form>
    </section>
  );
}
