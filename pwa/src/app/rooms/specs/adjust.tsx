import { useState } from 'preact/hooks';
import type { AdjustAnswer, Balance, Id } from '../../../shared/core.ts';
import { ask } from '../../core-client.ts';
import { decimal, figure, ml } from '../../format.ts';
import { later, words } from '../../words.ts';
import * as cautionsCss from '../../parts/cautions.module.css';
import * as beforeAfterCss from '../../parts/before-after.module.css';

const able = ['abv_percent', 'sugar_g_per_100ml', 'acid_percent', 'volume_ml'] as const;

/** The figures that lie outside their usual range, and what small change would bring them in. Nothing is changed by asking. */
export function WhatToChange({ spec, balance }: { spec: Id; balance: Balance }) {
  const outside = able.filter((key) => balance.verdict[key] === 'below' || balance.verdict[key] === 'above');
  const [asked, setAsked] = useState<{ answer: AdjustAnswer; more: boolean } | 'failed' | null>(null);
  if (outside.length === 0) return null;
  const find = async (more: boolean) => {
    try {
      setAsked({ answer: await ask({ q: 'adjust', spec, keys: outside, more_alcohol: more }), more });
    } catch {
      setAsked('failed');
    }
  };
  const found = asked !== null && asked !== 'failed' ? asked : null;
  return (
    <section class="part unprinted">
      <h2>{later.adjust.title}</h2>
      <p class="quiet">{later.adjust.what(outside.map((key) => words.balance.label[key]))}</p>
      <div role="status">
        {found?.answer.found === false && <p>{found.more ? later.adjust.none : later.adjust.noneWithout}</p>}
        {found?.answer.found && (
          <>
            <ul class={cautionsCss.cautions}>
              {found.answer.changes.map((it) => (
                <li key={it.line}>
                  {later.adjust.change(it.name, ml(it.from_ml), ml(it.to_ml), it.to_ml > it.from_ml)}
                </li>
              ))}
            </ul>
            {found.answer.balance && <Before before={balance} after={found.answer.balance} />}
          </>
        )}
      </div>
      {asked === 'failed' && <p role="alert">{later.adjust.failed}</p>}
      <div class="btns">
        <button type="button" class="btn" onClick={() => void find(false)}>
          {later.adjust.act}
        </button>
        {found?.answer.found === false && !found.more && (
          <button type="button" class="btn" onClick={() => void find(true)}>
            {later.adjust.more}
          </button>
        )}
      </div>
      {found?.answer.found && <p class="quiet key">{later.adjust.step(ml(found.answer.step_ml))}</p>}
    </section>
  );
}

function Before({ before, after }: { before: Balance; after: Balance }) {
  return (
    <table class={beforeAfterCss.beforeafter}>
      <thead>
        <tr>
          <th scope="col">{later.adjust.figure}</th>
          <th scope="col" class="n">
            {later.adjust.now}
          </th>
          <th scope="col" class="n">
            {later.adjust.then}
          </th>
          <th scope="col" class="n">
            {later.adjust.usual}
          </th>
        </tr>
      </thead>
      <tbody>
        {able.map((key) => {
          const usual = after.usual[key];
          return (
            <tr key={key}>
              <th scope="row">{words.balance.label[key]}</th>
              <td class="n">{figure(before.after[key])}</td>
              <td class="n">{figure(after.after[key])}</td>
              <td class="n">{usual ? `${decimal(usual.lo, 2, 0)}–${decimal(usual.hi, 2, 0)}` : words.balance.dash}</td>
            </tr>
          );
        })}
      </tbody>
    </table>
  );
}
