import type { Question } from '../../../shared/core.ts';
import { useAnswer } from '../../core-client.ts';
import { decimal, ml } from '../../format.ts';
import { Frame } from '../../frame.tsx';
import { useDraft } from '../../parts/draft.ts';
import { Field } from '../../parts/field.tsx';
import { Waiting } from '../../parts/waiting.tsx';
import { Mark } from '../../state-mark.tsx';
import { later } from '../../words-later.ts';
import { blankCut, type CutForm, cutQuestion, keptCut } from './read.ts';
import './style.css';

/** /making/cut: the water that brings a spirit to a lower strength. */
export function Cut() {
  const draft = useDraft<CutForm>('cut', blankCut, keptCut);
  const form = draft.value;
  return (
    <Frame title={later.cut.title} away="/making">
      {form === null ? (
        <Waiting slow={false} fault={null} />
      ) : (
        <Both form={form} set={(part) => draft.set({ ...form, ...part })} />
      )}
    </Frame>
  );
}

function Both({ form, set }: { form: CutForm; set: (part: Partial<CutForm>) => void }) {
  const asked = cutQuestion(form);
  const wrong = 'wrong' in asked ? asked.wrong : {};
  return (
    <div class="panes even">
      <section class="part first">
        <h2>{later.batch.form}</h2>
        <Field
          label={later.cut.volume}
          inputMode="decimal"
          value={form.volume}
          onInput={(volume) => set({ volume })}
          error={wrong.volume}
        />
        <div class="twofields">
          <Field
            label={later.cut.from}
            inputMode="decimal"
            value={form.from}
            onInput={(from) => set({ from })}
            error={wrong.from}
          />
          <Field
            label={later.cut.to}
            inputMode="decimal"
            value={form.to}
            onInput={(to) => set({ to })}
            error={wrong.to}
          />
        </div>
        <p class="quiet">{later.batch.kept}</p>
      </section>
      <div>{'question' in asked && <Result question={asked.question} />}</div>
    </div>
  );
}

function Result({ question }: { question: Extract<Question, { q: 'cut' }> }) {
  const { answer, slow, fault, refusal } = useAnswer(question);
  if (refusal)
    return (
      <p class="err" role="alert">
        <Mark shape="triangle" />
        <span>{refusal.text}</span>
      </p>
    );
  if (!answer) return <Waiting slow={slow} fault={fault} />;
  return (
    <section class="part">
      <h2>{later.making.result}</h2>
      <dl class="results">
        <div>
          <dt>{later.cut.water}</dt>
          <dd>{ml(answer.water_ml)}</dd>
        </div>
        <div>
          <dt>{later.cut.makes}</dt>
          <dd>{ml(answer.made_ml)}</dd>
        </div>
      </dl>
      <p>{later.cut.lost(`${decimal(answer.lost_ml, 1)}\u00a0ml`)}</p>
      <p class="quiet">{later.cut.source}</p>
    </section>
  );
}
