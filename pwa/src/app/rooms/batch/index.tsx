import type { BatchAnswer, BatchLine, Id } from '../../../shared/core.ts';
import { useAnswer } from '../../core-client.ts';
import { decimal, figure, ml, money, percent, standardDrinks } from '../../format.ts';
import { Frame } from '../../frame.tsx';
import { Alert } from '../../parts/alert.tsx';
import { BalancePanel } from '../../parts/balance.tsx';
import { type Draft, useDraft } from '../../parts/draft.ts';
import { Select } from '../../parts/field.tsx';
import { specTitle } from '../../parts/spec-name.ts';
import { typedOf } from '../../parts/typed.tsx';
import { Waiting } from '../../parts/waiting.tsx';
import type { Params } from '../../router.ts';
import { Mark } from '../../state-mark.tsx';
import { later, words } from '../../words.ts';
import { Cautions } from '../../parts/caution-list.tsx';
import { Record } from '../../parts/record.tsx';
import { type BatchQuestion, blank, drawsOf, type Form, kept, makingOf, questionOf, type Wrong } from './ask.ts';
import * as fieldCss from '../../parts/field.module.css';
import * as resultsCss from '../../parts/results.module.css';
import * as tickboxCss from '../../parts/tickbox.module.css';
import * as toneCss from '../../parts/tone.module.css';
import * as css from './style.module.css';
import * as stateMarkCss from '../../state-mark.module.css';

/** /specs/<id>/batch: a spec for several glasses, a total or a bottle; its sheet; that it was made. */
export function Batch({ params }: { params: Params }) {
  const id = params.id ?? '';
  const { answer: view, slow, fault, refusal } = useAnswer({ q: 'spec', id });
  const draft = useDraft<Form>(`batch.${id}`, blank, kept);
  return (
    <Frame title={view ? specTitle(view) : later.batch.title} sub={later.batch.title} away={`/specs/${id}`}>
      {refusal ? (
        <p role="alert">{words.notThere}</p>
      ) : !view || draft.value === null ? (
        <Waiting slow={slow} fault={fault} />
      ) : (
        <Both spec={id} form={draft.value} draft={draft} />
      )}
    </Frame>
  );
}

function Both({ spec, form, draft }: { spec: Id; form: Form; draft: Draft<Form> }) {
  const asked = questionOf(spec, form);
  const wrong = 'wrong' in asked ? asked.wrong : {};
  return (
    <div class="panes even">
      <div class="unprinted">
        <HowMuch form={form} wrong={wrong} set={(part) => draft.set({ ...form, ...part })} />
      </div>
      <div>{'question' in asked && <Answer question={asked.question} water={form.water} draft={draft} />}</div>
    </div>
  );
}

function HowMuch({ form, wrong, set }: { form: Form; wrong: Wrong; set: (part: Partial<Form>) => void }) {
  const typed = typedOf(form, set, wrong);
  return (
    <section class="part first">
      <h2>{later.batch.form}</h2>
      <Select
        label={later.batch.by}
        value={form.by}
        onChange={(by) => set({ by })}
        options={(['glasses', 'total', 'bottle'] as const).map((key) => [key, later.batch.byOption[key]])}
      />
      {form.by === 'glasses' && typed('glasses', later.batch.glasses, { inputMode: 'numeric' })}
      {form.by === 'total' && typed('total', later.batch.total)}
      {form.by === 'bottle' && (
        <>
          <div class={fieldCss.twofields}>
            {typed('bottle', later.batch.bottle)}
            {typed('headspace', later.batch.headspace)}
          </div>
          <p class="quiet">{later.batch.headspaceHelp}</p>
        </>
      )}
      <Select
        label={later.batch.water}
        value={form.water}
        onChange={(water) => set({ water })}
        options={(['none', 'method', 'percent'] as const).map((key) => [key, later.batch.waterOption[key]])}
      />
      {form.water === 'percent' && typed('percent', later.batch.percent)}
      <label class={tickboxCss.tickbox}>
        <input type="checkbox" checked={form.fizzy} onChange={(event) => set({ fizzy: event.currentTarget.checked })} />
        <span>{later.batch.carbonated}</span>
      </label>
      {form.fizzy ? (
        <p>{later.caution.text('carbonated_freezer')}</p>
      ) : (
        <>
          <label class={tickboxCss.tickbox}>
            <input
              type="checkbox"
              checked={form.freezer}
              onChange={(event) => set({ freezer: event.currentTarget.checked })}
            />
            <span>{later.batch.freezer}</span>
          </label>
          {form.freezer && typed('below', later.batch.at, { inputMode: 'numeric' })}
        </>
      )}
      <p class="quiet">{later.batch.kept}</p>
    </section>
  );
}

function Answer({ question, water, draft }: { question: BatchQuestion; water: Form['water']; draft: Draft<Form> }) {
  const { answer, behind, slow, fault, refusal } = useAnswer(question);
  if (refusal) return <Alert text={refusal.text} />;
  if (!answer) return <Waiting slow={slow} fault={fault} />;
  // What the balance says of the same is said once, among the cautions.
  const balance = {
    ...answer.balance,
    remarks: answer.balance.remarks.filter(({ code }) => code !== 'raw_egg' && code !== 'open_amount'),
  };
  return (
    <>
      <Sheet answer={answer} water={water} />
      <div class="btns unprinted">
        <button type="button" class="btn" onClick={() => print()}>
          {later.batch.print}
        </button>
      </div>
      {answer.total_ml !== null && (
        <Record
          behind={behind}
          suggested={`${answer.name}, ${later.making.sort.batch}`}
          draws={drawsOf(answer)}
          making={(it) => makingOf(answer, water, it)}
          onSaved={draft.drop}
        />
      )}
      <div class="unprinted">
        <BalancePanel balance={balance} heading={later.batch.glass} />
      </div>
    </>
  );
}

/** What goes in, large enough to be read from the counter; what is printed. */
function Sheet({ answer, water }: { answer: BatchAnswer; water: Form['water'] }) {
  const one = answer.serving_ml.v === null ? '' : ml(answer.serving_ml.v);
  const strength = water === 'none' ? answer.balance.before.abv_percent : answer.balance.after.abv_percent;
  const { water_ml, total_ml, bottle_ml, headspace_ml, freezer } = answer;
  const banded = water_ml.lo !== null && water_ml.hi !== null && water_ml.lo !== water_ml.hi;
  return (
    <>
      <section class={`part ${css.sheetOf}`}>
        <h2>{later.batch.sheet}</h2>
        <p class={`fig ${css.batchsize}`}>
          {answer.servings === 0
            ? later.batch.noGlasses
            : answer.servings === 1
              ? later.batch.makesOne(one)
              : later.batch.makes(decimal(answer.servings, 1, 0), one)}
        </p>
        <table class={css.batchlines}>
          <caption class="unseen">{later.batch.what}</caption>
          <thead>
            <tr>
              <th scope="col">{later.batch.what}</th>
              <th scope="col" class="n">
                {later.batch.one}
              </th>
              <th scope="col" class="n">
                {later.batch.all}
              </th>
              <th scope="col" class="n">
                {later.batch.scale}
              </th>
            </tr>
          </thead>
          <tbody>
            {answer.lines.map((line) => (
              <Line key={line.line} line={line} />
            ))}
            {water_ml.v !== null && water_ml.v > 0 && (
              <tr>
                <th scope="row">{later.batch.waterLine}</th>
                <td class="n" />
                <td class={`n ${css.whole}`}>{ml(water_ml.v)}</td>
                <td class="n">{weight(answer.water_grams)}</td>
              </tr>
            )}
          </tbody>
          {total_ml !== null && (
            <tfoot>
              <tr>
                <th scope="row">{later.batch.sum}</th>
                <td class="n">{one}</td>
                <td class={`n ${css.whole}`}>{ml(total_ml)}</td>
                <td class="n" />
              </tr>
            </tfoot>
          )}
        </table>
        {banded && water !== 'none' && (
          <p class={`quiet key ${css.fine}`}>{later.batch.waterBand(ml(water_ml.lo ?? 0), ml(water_ml.hi ?? 0))}</p>
        )}
        {bottle_ml !== null && headspace_ml !== null && total_ml !== null && (
          <p>{later.batch.fits(ml(total_ml), ml(bottle_ml), ml(headspace_ml))}</p>
        )}
        <dl class={resultsCss.results}>
          <div>
            <dt>{later.batch.strength}</dt>
            <dd>{strength.v === null ? words.strengthUnknown : `${figure(strength)}\u00a0%`}</dd>
          </div>
          {freezer && freezer.freezes_c.v !== null && (
            <div>
              <dt>{later.batch.freezes}</dt>
              <dd>{celsius(freezer.freezes_c.v, freezer.freezes_c.dec)}</dd>
            </div>
          )}
        </dl>
        {freezer && (
          <p>
            {freezer.state === 'slush'
              ? later.batch.slushy(celsius(freezer.at_c, 0))
              : later.batch.liquid(celsius(freezer.at_c, 0))}{' '}
            {later.batch.least(percent(freezer.min_abv_percent))}
          </p>
        )}
        {answer.cost.map((cost) => (
          <p key={cost.currency} class="unprinted">
            {later.batch.cost(money(cost.minor, cost.currency), cost.partial)}
          </p>
        ))}
        <p class="quiet unprinted">{later.batch.alcohol(standardDrinks(answer.alcohol))}</p>
        <p class={css.printed}>{later.batch.onSheet}</p>
      </section>
      <Cautions cautions={answer.cautions} />
    </>
  );
}

const celsius = (c: number, digits: number): string => words.celsius(decimal(c, digits));
const weight = (g: number | null): string => (g === null ? '' : words.grams(decimal(g, 1, 0)));

function Line({ line }: { line: BatchLine }) {
  const all =
    line.ml !== null
      ? line.estimate
        ? later.batch.about(ml(line.ml))
        : ml(line.ml)
      : line.pieces !== null
        ? later.batch.pieces(decimal(line.pieces, 1, 0))
        : line.grams !== null
          ? weight(line.grams)
          : later.batch.open;
  return (
    <tr>
      <th scope="row">
        {line.name}
        {line.taste_first && <p class={`quiet ${css.taste}`}>{later.batch.taste}</p>}
        {line.bottles.map((it) => (
          <p key={it.bottle} class="quiet unprinted">
            {later.batch.takes(ml(it.takes_ml), it.name)}
          </p>
        ))}
        {line.short_ml > 0 && (
          <p class={`${stateMarkCss.state} ${toneCss.look} unprinted`}>
            <Mark shape="triangle" />
            {later.batch.short(ml(line.short_ml))}
          </p>
        )}
      </th>
      <td class="n">{line.one_ml === null ? '' : ml(line.one_ml)}</td>
      <td class={`n ${css.whole}`}>{all}</td>
      <td class="n">{line.ml === null ? '' : weight(line.grams)}</td>
    </tr>
  );
}
