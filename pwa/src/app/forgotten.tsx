import { useEffect, useState } from 'preact/hooks';
import { bring, type Brought, type Forgotten, held, type Held } from './core-client.ts';
import { type Act, Frame } from './frame.tsx';
import { Alert } from './parts/alert.tsx';
import { HeldLine } from './parts/held.tsx';
import { nextDecision } from './admission.ts';
import type { Params } from './router.ts';
import { journal } from './state.ts';
import { later } from './words.ts';

type Step =
  | { at: 'question' }
  | { at: 'bringing' }
  | { at: 'came'; brought: Brought }
  | { at: 'kept' }
  | { at: 'failed'; how: 'along' | 'apart' };

/** A journal of this device that the server does not know: the person says whether it is theirs. */
export function ForgottenPage({ params }: { params: Params }) {
  return <Asked key={params.journal} id={params.journal ?? ''} />;
}

function Asked({ id }: { id: string }) {
  const [step, setStep] = useState<Step>({ at: 'question' });
  const [holds, setHolds] = useState<Held | null>(null);
  const [first, setFirst] = useState<Forgotten | null>(null);
  const now = journal.value;
  const here = now?.forgotten?.find((it) => it.id === id) ?? null;
  if (here && !first) setFirst(here); // it is gone from the list as soon as it is decided
  const about = here ?? first;
  useEffect(() => {
    held().then(
      (all) => setHolds((was) => all.find((it) => it.id === id) ?? was),
      () => undefined,
    );
  }, [id]);
  if (now === null) return <Frame title={later.forgotten.title}>{null}</Frame>;
  const { paired } = now;
  const open = here !== null && paired !== null && (step.at === 'question' || step.at === 'failed');
  const choose = async (how: 'along' | 'apart') => {
    if (how === 'along') setStep({ at: 'bringing' });
    try {
      const brought = await bring(how, id);
      setStep(how === 'along' ? { at: 'came', brought } : { at: 'kept' });
    } catch {
      setStep({ at: 'failed', how });
    }
  };
  const next = nextDecision(id);
  const act: Act =
    paired !== null && (open || step.at === 'bringing')
      ? {
          label: later.forgotten.along(paired.account),
          onClick: () => void choose('along'),
          disabled: step.at === 'bringing',
        }
      : next === '/'
        ? { label: later.bring.toTonight, href: '/' }
        : { label: later.forgotten.next, href: next };
  return (
    <Frame title={later.forgotten.title} away="/" act={act}>
      <div class="narrow">
        {about === null && <p>{later.forgotten.none}</p>}
        {about !== null && paired !== null && (open || step.at === 'bringing') && (
          <>
            <p class="name">{later.forgotten.found(about.account)}</p>
            {holds && (
              <p data-testid="held">
                <HeldLine it={holds} />
              </p>
            )}
            <p>{later.forgotten.why}</p>
            <p>{later.forgotten.whose(about.account, paired.account)}</p>
          </>
        )}
        {step.at === 'failed' && <Alert text={step.how === 'along' ? later.bring.failed : later.bring.keptFailed} />}
        {open && !here.decided && (
          <div class="btns">
            <button type="button" class="btn" onClick={() => void choose('apart')}>
              {later.forgotten.apart}
            </button>
          </div>
        )}
        <div role="status">
          {step.at === 'bringing' && <p>{later.forgotten.going}</p>}
          {step.at === 'came' && (
            <>
              <p>{later.forgotten.came(step.brought.brought)}</p>
              {step.brought.not_brought > 0 && <p>{later.bring.stayed(step.brought.not_brought)}</p>}
            </>
          )}
          {step.at === 'kept' && <p>{later.forgotten.kept}</p>}
        </div>
      </div>
    </Frame>
  );
}
