import { useId, useState } from 'preact/hooks';
import type { Id, Intent } from '../../shared/core.ts';
import { ml } from '../format.ts';
import { newId } from '../ids.ts';
import { Field } from './field.tsx';
import { save } from './saved.tsx';
import { go } from '../router.ts';
import { later } from '../words.ts';
import { keepDays } from './keep-days.ts';
import * as tickboxCss from './tickbox.module.css';

type Making = Extract<Intent, { do: 'making' }>;

/** Records that it was made, under a name, and goes to what was made. Nothing is saved before. */
export function Record({
  suggested,
  behind,
  draws,
  making,
  onSaved,
}: {
  suggested: string;
  /** What is shown is of what was typed before. */
  behind: boolean;
  /** What it may have been taken from. */
  draws: readonly { bottle: Id; name: string; ml: number }[];
  /** `leave`: bottles that nothing was taken from. */
  making: (it: { id: Id; name: string; keep: number | null; leave: readonly Id[] }) => Making;
  onSaved: () => void;
}) {
  const [id] = useState(newId); // one making, however often the button is tapped
  const [name, setName] = useState<string | null>(null);
  const [keep, setKeep] = useState('');
  const [leave, setLeave] = useState<readonly Id[]>([]);
  const [wrong, setWrong] = useState<{ name?: string; keep?: string }>({});
  const [busy, setBusy] = useState(false);
  const heading = useId();
  const called = name ?? suggested;
  return (
    <form
      class="part unprinted"
      aria-labelledby={heading}
      noValidate
      onSubmit={async (event) => {
        event.preventDefault();
        const days = keepDays(keep);
        const bad = {
          ...(called.trim() === '' ? { name: later.making.needName } : {}),
          ...(days === undefined ? { keep: later.making.needKeep(keep) } : {}),
        };
        setWrong(bad);
        if (Object.keys(bad).length > 0 || days === undefined) {
          const first = event.currentTarget;
          setTimeout(() => first.querySelector<HTMLElement>('[aria-invalid]')?.focus());
          return;
        }
        setBusy(true);
        const text = called.trim().normalize('NFC');
        const done = await save(making({ id, name: text, keep: days, leave }), later.making.saved(text), () => ({
          do: 'delete',
          id,
        }));
        setBusy(false);
        if (!done) return;
        onSaved();
        go('/making');
      }}
    >
      <h2 id={heading}>{later.making.record}</h2>
      <Field label={later.making.name} value={called} onInput={setName} error={wrong.name} />
      <Field
        label={later.making.keep}
        inputMode="numeric"
        value={keep}
        onInput={setKeep}
        error={wrong.keep}
        help={later.making.keepHelp}
      />
      {draws.length > 0 && (
        <fieldset>
          <legend class="quiet">{later.making.draws}</legend>
          {draws.map((draw) => (
            <label key={draw.bottle} class={tickboxCss.tickbox}>
              <input
                type="checkbox"
                checked={!leave.includes(draw.bottle)}
                onChange={(event) =>
                  setLeave(
                    event.currentTarget.checked ? leave.filter((it) => it !== draw.bottle) : [...leave, draw.bottle],
                  )
                }
              />
              <span>{later.batch.takes(ml(draw.ml), draw.name)}</span>
            </label>
          ))}
        </fieldset>
      )}
      <div class="btns">
        <button type="submit" class="btn strong" disabled={busy || behind}>
          {later.making.save}
        </button>
      </div>
    </form>
  );
}
