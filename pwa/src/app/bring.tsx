import { useState } from 'preact/hooks';
import type { Brought } from '../shared/messages.ts';
import { bring } from './core-client.ts';
import { type Act, Frame } from './frame.tsx';
import { bringing, journal } from './state.ts';
import { Alert } from './parts/alert.tsx';
import { later } from './words.ts';
import * as doorCss from './enter/door.module.css';

type Step =
  | { at: 'question' }
  | { at: 'bringing' }
  | { at: 'came'; brought: Brought }
  | { at: 'kept' }
  | { at: 'failed'; how: 'along' | 'apart' };

/** What becomes of entries written on this device before it came in to an account. */
export function BringPage() {
  const [step, setStep] = useState<Step>({ at: 'question' });
  const now = journal.value;
  if (now === null) return <Frame title={later.bring.title}>{null}</Frame>;
  const choose = async (how: 'along' | 'apart') => {
    if (how === 'along') setStep({ at: 'bringing' });
    try {
      const brought = await bring(how);
      setStep(how === 'along' ? { at: 'came', brought } : { at: 'kept' });
    } catch {
      setStep({ at: 'failed', how });
    }
  };
  const { paired, undecided, apart } = now;
  const asks = undecided > 0 ? undecided : apart;
  const open = step.at === 'question' || step.at === 'failed';
  const act: Act =
    step.at === 'bringing' || (open && paired !== null && asks > 0)
      ? { label: later.bring.along, onClick: () => void choose('along'), disabled: step.at === 'bringing' }
      : { label: later.bring.toTonight, href: '/' };
  return (
    <Frame title={later.bring.title} away="/" act={act}>
      <div class={`${doorCss.door} narrow`}>
        {open && paired === null && <p>{asks > 0 ? later.bring.unpaired : later.bring.none}</p>}
        {open && paired !== null && asks === 0 && <p>{later.bring.none}</p>}
        {step.at !== 'came' && step.at !== 'kept' && paired !== null && asks > 0 && (
          <>
            <p class="name">{undecided > 0 ? later.bring.found(undecided) : later.bring.decided(apart)}</p>
            <p>{later.bring.how(paired.account)}</p>
            <p class="quiet">{later.bring.settings}</p>
            {undecided === 0 && <p class="quiet">{later.bring.twice}</p>}
          </>
        )}
        {step.at === 'failed' && <Alert text={step.how === 'along' ? later.bring.failed : later.bring.keptFailed} />}
        {open && paired !== null && undecided > 0 && (
          <div class="btns">
            <button type="button" class="btn" onClick={() => void choose('apart')}>
              {later.bring.apart}
            </button>
          </div>
        )}
        {step.at === 'bringing' && <Going />}
        <div role="status">
          {step.at === 'came' && (
            <>
              <p>{later.bring.came(step.brought.brought)}</p>
              {step.brought.not_brought > 0 && <p>{later.bring.stayed(step.brought.not_brought)}</p>}
            </>
          )}
          {step.at === 'kept' && <p>{later.bring.kept}</p>}
        </div>
        {(step.at === 'came' || step.at === 'kept' || asks === 0) && (
          <div class={doorCss.doorways}>
            <a class="link" href="/keeper">
              {later.bring.toKeeper}
            </a>
          </div>
        )}
      </div>
    </Frame>
  );
}

function Going() {
  const far = bringing.value;
  const text = far ? later.bring.going(far.done, far.total) : later.bring.starting;
  return (
    <div class={doorCss.going}>
      <p id="going">{text}</p>
      <progress aria-labelledby="going" max={far?.total ?? 1} value={far?.done ?? 0} />
    </div>
  );
}
