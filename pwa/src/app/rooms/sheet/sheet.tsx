import { useState } from 'preact/hooks';
import type { Id, Intent, PourSheet } from '../../../shared/core.ts';
import { useAnswer } from '../../core-client.ts';
import { alcohol, isUnknown } from '../../format.ts';
import { Frame } from '../../frame.tsx';
import { newId } from '../../ids.ts';
import { BalancePanel } from '../../parts/balance.tsx';
import { Chips } from '../../parts/chips.tsx';
import { Field } from '../../parts/field.tsx';
import { ScoreStepper, ShareStepper } from '../../parts/glass-steps.tsx';
import { Passes } from '../../parts/guide.tsx';
import { readNumber } from '../../parts/read-number.ts';
import { save } from '../../parts/saved.tsx';
import { specTitle, specVersion } from '../../parts/spec-name.ts';
import { Waiting } from '../../parts/waiting.tsx';
import { atOf, type Moment, When } from '../../parts/when.tsx';
import { back } from '../../router.ts';
import { words } from '../../words.ts';
import { Swaps, type Swap } from './swaps.tsx';
import * as fieldCss from '../../parts/field.module.css';
import * as whyCss from '../../parts/why.module.css';

/** One glass of a spec: what is swapped, how much of it, how it was. */
export function Sheet({ spec }: { spec: Id }) {
  const [swap, setSwap] = useState<Swap | null>(null);
  const [shareBp, setShare] = useState(10000);
  const { answer, slow, fault, refusal } = useAnswer({
    q: 'sheet',
    spec,
    share_bp: shareBp,
    ...(swap ? { swap } : {}),
  });
  if (!answer)
    return (
      <Frame title={words.tonight.pour} away="/">
        {refusal ? <p role="alert">{refusal.text}</p> : <Waiting slow={slow} fault={fault} />}
      </Frame>
    );
  return (
    <Form key={spec} answer={answer} spec={spec} swap={swap} setSwap={setSwap} shareBp={shareBp} setShare={setShare} />
  );
}

interface FormProps {
  answer: PourSheet;
  spec: Id;
  swap: Swap | null;
  setSwap: (swap: Swap | null) => void;
  shareBp: number;
  setShare: (bp: number) => void;
}

function Form({ answer, spec, swap, setSwap, shareBp, setShare }: FormProps) {
  const quiet = useAnswer({ q: 'tonight' }).answer?.quiet ?? false;
  const [id] = useState(newId); // one glass, however often the button is tapped
  const [score, setScore] = useState<number | null>(null);
  const [tags, setTags] = useState<readonly string[]>([]);
  const [note, setNote] = useState('');
  const [at, setAt] = useState<Moment | null>(null);
  const [before, setBefore] = useState('');
  const [after, setAfter] = useState('');
  const [bad, setBad] = useState<{ at?: string; weight?: string }>({});
  const [busy, setBusy] = useState(false);
  const view = answer.spec;
  const title = specTitle(view);

  const pour = async () => {
    if (busy) return;
    const intent: Intent = { do: 'pour', id, spec, share_bp: shareBp };
    if (swap) intent.swap = swap;
    if (score !== null) intent.score_x10 = score;
    if (note.trim() !== '') intent.note = note.trim();
    if (tags.length > 0) intent.tags = [...tags];
    const { wrong, ...moment } = atOf(at);
    if (wrong) return setBad({ at: wrong });
    Object.assign(intent, moment);
    if (before !== '' || after !== '') {
      const grams = [readNumber(before), readNumber(after)] as const;
      if (grams[0] === null || grams[1] === null || grams[1] < grams[0])
        return setBad({ weight: words.sheet.badWeight });
      intent.before_mg = Math.round(grams[0] * 1000);
      intent.after_mg = Math.round(grams[1] * 1000);
    }
    setBad({});
    setBusy(true);
    const done = await save(intent, words.tonight.poured(title), (made) => ({
      do: 'delete',
      id: made.made,
    }));
    setBusy(false);
    if (done) back('/');
  };

  return (
    <Frame
      title={title}
      sub={[specVersion(view), words.sheet.lines(view.lines.length)].filter(Boolean).join(' · ')}
      away="/"
      act={{ label: words.sheet.save, onClick: () => void pour(), disabled: busy }}
    >
      <div class="panes">
        <div>
          <Swaps answer={answer} swap={swap} setSwap={setSwap} />
          <ShareStepper
            bp={shareBp}
            onChange={setShare}
            detail={
              <span>
                {isUnknown(answer.alcohol) ? words.alcoholNotKnown : words.sheet.holds(alcohol(answer.alcohol))}
                {at === null && !quiet && !isUnknown(answer.would_bring) && (
                  <>
                    <br />
                    {words.sheet.brings(alcohol(answer.would_bring))}
                  </>
                )}
              </span>
            }
          >
            {at === null && !quiet && <Passes total={answer.would_bring} passes={answer.passes} />}
          </ShareStepper>
          <ScoreStepper x10={score} onChange={setScore} />
        </div>
        <div>
          <When value={at} onChange={setAt} error={bad.at} />
          <section class="part">
            <h2>{words.sheet.flavour}</h2>
            <Chips terms={answer.terms} chosen={tags} onChange={setTags} />
          </section>
          <section class="part">
            <div class={fieldCss.field}>
              <label for="pour-note">{words.sheet.note}</label>
              <textarea
                id="pour-note"
                rows={2}
                value={note}
                placeholder={words.sheet.notePlaceholder}
                onInput={(event) => setNote(event.currentTarget.value)}
              />
            </div>
            <details class={whyCss.why}>
              <summary>{words.sheet.weighed}</summary>
              <div class={fieldCss.twofields}>
                <Field
                  label={words.sheet.before}
                  inputMode="decimal"
                  value={before}
                  onInput={setBefore}
                  error={bad.weight}
                />
                <Field label={words.sheet.after} inputMode="decimal" value={after} onInput={setAfter} />
              </div>
            </details>
          </section>
          <BalancePanel balance={view.balance} />
        </div>
      </div>
    </Frame>
  );
}
