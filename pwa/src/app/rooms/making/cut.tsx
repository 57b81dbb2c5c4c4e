import type { Question } from '../../../shared/core.ts';
import { useAnswer } from '../../core-client.ts';
import { decimal, ml } from '../../format.ts';
import { Frame } from '../../frame.tsx';
import { Alert } from '../../parts/alert.tsx';
import { useDraft } from '../../parts/draft.ts';
import { typedOf } from '../../parts/typed.tsx';
import { Waiting } from '../../parts/waiting.tsx';
import { later, words } from '../../words.ts';
import { blankCut, type CutForm, cutQuestion, keptCut } from './read.ts';
import * as fieldCss from '../../parts/field.module.css';
import * as resultsCss from '../../parts/results.module.css';

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
  const typed = typedOf(form, set, wrong);
  return (
    <div class="panes even">
      <section class="part first">
        <h2>{later.batch.form}</h2>
        {typed('volume', later.cut.volume)}
        <div class={fieldCss.twofields}>
          {typed('from', later.cut.from)}
          {typed('to', later.cut.to)}
        </div>
        <p class="quiet">{later.batch.kept}</p>
      </section>
      <div>{'question' in asked && <Result question={asked.question} />}</div>
    </div>
  );
}

function Result({ question }: { question: Extract<Question, { q: 'cut' }> }) {
  const { answer, slow, fault, refusal } = useAnswer(question);
  if (refusal) return <Alert text={refusal.text} />;
  if (!answer) return <Waiting slow={slow} fault={fault} />;
  return (
    <section class="part">
      <h2>{later.making.result}</h2>
      <dl class={resultsCss.results}>
        <div>
          <dt>{later.cut.water}</dt>
          <dd>{ml(answer.water_ml)}</dd>
        </div>
        <div>
          <dt>{later.cut.makes}</dt>
          <dd>{ml(answer.made_ml)}</dd>
        </div>
      </dl>
      <p>{later.cut.lost(words.ml(decimal(answer.lost_ml, 1)))}</p>
      <p class="quiet">{later.cut.source}</p>
    </section>
  );
}
