import type { Question, SyrupAnswer } from '../../../shared/core.ts';
import { useAnswer } from '../../core-client.ts';
import { decimal, minorUnits, ml, money } from '../../format.ts';
import { Frame } from '../../frame.tsx';
import { Alert } from '../../parts/alert.tsx';
import { useDraft } from '../../parts/draft.ts';
import { Select } from '../../parts/field.tsx';
import { typedOf } from '../../parts/typed.tsx';
import { Waiting } from '../../parts/waiting.tsx';
import { later, words } from '../../words.ts';
import { Cautions } from '../../parts/caution-list.tsx';
import { blankSyrup, keptSyrup, type SyrupForm, syrupQuestion } from './read.ts';
import { Record } from '../../parts/record.tsx';
import * as fieldCss from '../../parts/field.module.css';
import * as linedCss from '../../parts/lined.module.css';
import * as resultsCss from '../../parts/results.module.css';

/** /making/syrup: what sugar and water come to; that it was made. */
export function Syrup() {
  const draft = useDraft<SyrupForm>('syrup', blankSyrup, keptSyrup);
  const { answer: shelf } = useAnswer({ q: 'bottles' });
  const form = draft.value;
  return (
    <Frame title={later.syrup.title} away="/making">
      {form === null ? (
        <Waiting slow={false} fault={null} />
      ) : (
        <Both
          form={{ ...form, currency: form.currency || (shelf?.rows.find((row) => row.currency)?.currency ?? '') }}
          set={(part) => draft.set({ ...form, ...part })}
          onSaved={draft.drop}
        />
      )}
    </Frame>
  );
}

interface BothProps {
  form: SyrupForm;
  set: (part: Partial<SyrupForm>) => void;
  onSaved: () => void;
}

function Both({ form, set, onSaved }: BothProps) {
  const currency = form.currency.trim().toUpperCase();
  const asked = syrupQuestion(form, minorUnits(currency));
  const wrong = 'wrong' in asked ? asked.wrong : {};
  const typed = typedOf(form, set, wrong);
  const volume = form.by === 'volume';
  return (
    <div class="panes even">
      <section class="part first">
        <h2>{later.batch.form}</h2>
        <Select
          label={later.syrup.by}
          value={form.by}
          onChange={(by) => set({ by })}
          options={(['grams', 'weight', 'volume'] as const).map((key) => [key, later.syrup.byOption[key]])}
        />
        {form.by !== 'grams' && (
          <div class={fieldCss.twofields}>
            {typed('sugarParts', later.syrup.sugarParts)}
            {typed('waterParts', later.syrup.waterParts)}
          </div>
        )}
        <div class={fieldCss.twofields}>
          {typed('sugar', volume ? later.syrup.sugarMl : later.syrup.sugar)}
          {form.by === 'grams' && typed('water', later.syrup.water)}
        </div>
        {volume && <p class="quiet">{later.syrup.volumeHelp}</p>}
        {typed('made', later.syrup.made, { help: later.syrup.madeHelp })}
        <div class={fieldCss.twofields}>
          {typed('price', later.syrup.price)}
          {typed('currency', later.bottles.currency, { inputMode: 'text' })}
        </div>
        <p class="quiet">{later.batch.kept}</p>
      </section>
      <div>{'question' in asked && <Result question={asked.question} currency={currency} onSaved={onSaved} />}</div>
    </div>
  );
}

type SyrupQuestion = Extract<Question, { q: 'syrup' }>;

function Result({ question, currency, onSaved }: { question: SyrupQuestion; currency: string; onSaved: () => void }) {
  const { answer, behind, slow, fault, refusal } = useAnswer(question);
  if (refusal) return <Alert text={refusal.text} />;
  if (!answer) return <Waiting slow={slow} fault={fault} />;
  const crystals = crystalsOf(answer);
  return (
    <>
      <section class="part">
        <h2>{later.making.result}</h2>
        <p>{later.syrup.weigh(gramsOf(answer.sugar_g), gramsOf(answer.water_g))}</p>
        <dl class={resultsCss.results}>
          <div>
            <dt>{later.syrup.brix}</dt>
            <dd>{words.percent(decimal(answer.brix, 1))}</dd>
          </div>
          <div>
            <dt>{later.syrup.per}</dt>
            <dd>{words.grams(decimal(answer.sugar_g_per_100ml, 1))}</dd>
          </div>
          <div>
            <dt>{later.syrup.yield}</dt>
            <dd>{ml(answer.yield_ml)}</dd>
          </div>
          {answer.cost_minor !== null && answer.cost_minor_per_100ml !== null && (
            <div>
              <dt>{later.syrup.cost}</dt>
              <dd>
                {money(answer.cost_minor, currency)}
                <span class={`quiet ${linedCss.lined}`}>
                  {later.syrup.costPer(money(answer.cost_minor_per_100ml, currency))}
                </span>
              </dd>
            </div>
          )}
        </dl>
      </section>
      <Cautions cautions={crystals === null ? [] : [{ code: crystals, names: [], marking: '' }]} />
      <Record
        behind={behind}
        suggested={later.syrup.name}
        draws={[]}
        onSaved={onSaved}
        making={({ id, name, keep }) => ({
          do: 'making',
          id,
          sort: 'syrup',
          name,
          made_ul: Math.round(answer.yield_ml * 1000),
          draws: [],
          keep_days: keep,
          abv_bp: 0,
          sugar_mgl: Math.round(answer.sugar_g_per_100ml * 10_000),
          acid_mgl: 0,
          ...(answer.cost_minor === null ? {} : { price_minor: Math.round(answer.cost_minor), currency }),
        })}
      />
    </>
  );
}

const gramsOf = (grams: number): string => words.grams(decimal(grams, 1, 0));

/** The warmer place is the stronger warning, so it alone is said. */
const crystalsOf = (answer: SyrupAnswer): string | null =>
  answer.crystals_20c ? 'crystals_20c' : answer.crystals_5c ? 'crystals_5c' : null;
