import type { BottlesAnswer, Question } from '../../../shared/core.ts';
import { useAnswer } from '../../core-client.ts';
import { decimal, figure, ml, percent, plainNumber } from '../../format.ts';
import { Frame } from '../../frame.tsx';
import { Alert } from '../../parts/alert.tsx';
import { useDraft } from '../../parts/draft.ts';
import { Field, Select } from '../../parts/field.tsx';
import { typedOf } from '../../parts/typed.tsx';
import { Waiting } from '../../parts/waiting.tsx';
import { later, words } from '../../words.ts';
import { Cautions } from '../../parts/caution-list.tsx';
import { blankInfusion, type InfusionForm, infusionQuestion, keptText } from './read.ts';
import { Record } from '../../parts/record.tsx';
import * as fieldCss from '../../parts/field.module.css';
import * as resultsCss from '../../parts/results.module.css';

type Bottle = BottlesAnswer['rows'][number];

/** /making/infusion: what is put into a spirit, and what that makes of it. */
export function Infusion() {
  const draft = useDraft<InfusionForm>('infusion', blankInfusion, keptText(blankInfusion()));
  const { answer, slow, fault } = useAnswer({ q: 'bottles' });
  const form = draft.value;
  return (
    <Frame title={later.infusion.title} away="/making">
      {form === null || !answer ? (
        <Waiting slow={slow} fault={fault} />
      ) : (
        <Both
          form={form}
          shelf={answer.rows.filter((row) => row.finished_on === null)}
          set={(part) => draft.set({ ...form, ...part })}
          onSaved={draft.drop}
        />
      )}
    </Frame>
  );
}

interface BothProps {
  form: InfusionForm;
  shelf: readonly Bottle[];
  set: (part: Partial<InfusionForm>) => void;
  onSaved: () => void;
}

function Both({ form, shelf, set, onSaved }: BothProps) {
  const asked = infusionQuestion(form);
  const wrong = 'wrong' in asked ? asked.wrong : {};
  const typed = typedOf(form, set, wrong);
  const bottle = shelf.find((row) => row.id === form.bottle) ?? null;
  return (
    <div class="panes even">
      <section class="part first">
        <h2>{later.batch.form}</h2>
        <Select
          label={later.infusion.from}
          value={bottle?.id ?? ''}
          onChange={(id) => {
            const chosen = shelf.find((row) => row.id === id);
            set({
              bottle: id,
              ...(chosen && chosen.abv_percent !== null ? { strength: plainNumber(chosen.abv_percent) } : {}),
            });
          }}
          options={[['', later.infusion.noBottle], ...shelf.map((row) => [row.id, shelfText(row)] as const)]}
        />
        <div class={fieldCss.twofields}>
          {typed('spirit', later.infusion.spirit)}
          {typed('strength', later.infusion.strength)}
        </div>
        <Field
          label={later.infusion.what}
          value={form.what}
          placeholder={later.infusion.whatPlaceholder}
          onInput={(what) => set({ what })}
        />
        {typed('made', later.infusion.made, { help: later.infusion.madeHelp })}
        {typed('fruit', later.infusion.fruit, { help: later.infusion.fruitHelp })}
        <p class="quiet">{later.batch.kept}</p>
      </section>
      <div>{'question' in asked && <Result question={asked.question} bottle={bottle} onSaved={onSaved} />}</div>
    </div>
  );
}

const shelfText = (row: Bottle): string =>
  row.abv_percent === null ? row.name : `${row.name}, ${percent(row.abv_percent)}`;

type InfusionQuestion = Extract<Question, { q: 'infusion' }>;

interface ResultProps {
  question: InfusionQuestion;
  bottle: Bottle | null;
  onSaved: () => void;
}

function Result({ question, bottle, onSaved }: ResultProps) {
  const { answer, behind, slow, fault, refusal } = useAnswer(question);
  if (refusal) return <Alert text={refusal.text} />;
  if (!answer) return <Waiting slow={slow} fault={fault} />;
  const { abv_percent: abv } = answer;
  return (
    <>
      <section class="part">
        <h2>{later.making.result}</h2>
        <dl class={resultsCss.results}>
          <div>
            <dt>{later.infusion.result}</dt>
            <dd>{abv.v === null ? words.strengthUnknown : `${figure(abv)}\u00a0%`}</dd>
          </div>
          <div>
            <dt>{later.infusion.yields}</dt>
            <dd>{ml(answer.made_ml)}</dd>
          </div>
          <div>
            <dt>{later.infusion.factor}</dt>
            <dd>{later.infusion.times(decimal(answer.cost_factor, 2, 0))}</dd>
          </div>
        </dl>
        {answer.assumed && <p class="quiet key">{later.infusion.assumed}</p>}
        {question.what !== '' && answer.cautions.length === 0 && <p class="quiet key">{later.infusion.none}</p>}
      </section>
      <Cautions cautions={answer.cautions} />
      <Record
        behind={behind}
        suggested={question.what === '' ? '' : later.infusion.name(question.what, bottle?.name ?? '')}
        draws={bottle ? [{ bottle: bottle.id, name: bottle.name, ml: question.vol_ul / 1000 }] : []}
        onSaved={onSaved}
        making={({ id, name, keep, leave }) => ({
          do: 'making',
          id,
          sort: 'infusion',
          name,
          made_ul: Math.round(answer.made_ml * 1000),
          ...(question.water_ul === undefined ? {} : { water_ul: question.water_ul }),
          draws: bottle && !leave.includes(bottle.id) ? [{ bottle: bottle.id, vol_ul: question.vol_ul }] : [],
          keep_days: keep,
          abv_bp: abv.v === null ? null : Math.round(abv.v * 100),
          sugar_mgl: null,
          acid_mgl: null,
        })}
      />
    </>
  );
}
