import { useEffect, useId, useRef, useState } from 'preact/hooks';
import { tidyCode } from '../code.ts';
import { Mark } from '../state-mark.tsx';
import { Alert } from '../parts/alert.tsx';
import { later } from '../words.ts';
import * as doorCss from './door.module.css';
import * as alertCss from '../parts/alert.module.css';
import * as fieldCss from '../parts/field.module.css';

interface EntryProps {
  label: string;
  /** The form's name of it, by which a password manager knows it. */
  name: string;
  value: string;
  onInput: (value: string) => void;
  error?: string | undefined;
  help?: string;
  autocomplete?: string;
}

/** One field of a form at the door. */
export function Entry({ label, name, value, onInput, error, help, autocomplete = 'off' }: EntryProps) {
  const id = useId();
  return (
    <div class={fieldCss.field} data-bad={error ? '' : undefined}>
      <label for={id}>{label}</label>
      <input
        id={id}
        name={name}
        value={value}
        onInput={(event) => onInput(event.currentTarget.value)}
        autocomplete={autocomplete}
        autocapitalize="none"
        spellcheck={false}
        {...told(id, error, help)}
      />
      <Under id={id} error={error} help={help} />
    </div>
  );
}

/** An invitation, in capitals and groups of four as it is typed. */
export function CodeEntry({ label, value, onInput, error, help }: Omit<EntryProps, 'name' | 'autocomplete'>) {
  const id = useId();
  return (
    <div class={fieldCss.field} data-bad={error ? '' : undefined}>
      <label for={id}>{label}</label>
      <input
        id={id}
        name="code"
        value={value}
        onInput={(event) => {
          const { value: typed, selectionStart } = event.currentTarget;
          // In the middle of the code the caret stays; the groups are set when typing goes on at its end.
          onInput(selectionStart === typed.length ? tidyCode(typed) : typed);
        }}
        onBlur={() => onInput(tidyCode(value))}
        autocomplete="one-time-code"
        autocapitalize="characters"
        spellcheck={false}
        placeholder="XXXX-XXXX-XXXX"
        {...told(id, error, help)}
      />
      <Under id={id} error={error} help={help} />
    </div>
  );
}

/** A password, hidden until the person wants to see it. It is taken as it is typed. */
export function Password({ label, name, value, onInput, error, help, autocomplete }: EntryProps) {
  const id = useId();
  const [shown, setShown] = useState(false);
  const input = useRef<HTMLInputElement>(null);
  useEffect(() => {
    const form = input.current?.form;
    const hide = () => setShown(false); // a password manager looks for what was hidden when it was sent
    form?.addEventListener('submit', hide);
    return () => form?.removeEventListener('submit', hide);
  }, []);
  return (
    <div class={fieldCss.field} data-bad={error ? '' : undefined}>
      <label for={id}>{label}</label>
      <div class={doorCss.secret}>
        <input
          ref={input}
          id={id}
          name={name}
          {...(shown ? { type: 'text' as const } : { type: 'password' as const })}
          value={value}
          onInput={(event) => onInput(event.currentTarget.value)}
          autocomplete={autocomplete}
          autocapitalize="none"
          autocorrect="off"
          spellcheck={false}
          {...told(id, error, help)}
        />
        <button
          type="button"
          class="btn"
          aria-label={shown ? later.door.hideWhat(label) : later.door.showWhat(label)}
          aria-controls={id}
          onClick={() => setShown(!shown)}
        >
          {shown ? later.door.hide : later.door.show}
        </button>
      </div>
      <Under id={id} error={error} help={help} />
    </div>
  );
}

const told = (id: string, error: string | undefined, help: string | undefined) => ({
  'aria-invalid': error ? ('true' as const) : undefined,
  'aria-describedby': [error && `${id}-e`, help && `${id}-h`].filter(Boolean).join(' ') || undefined,
});

function Under({ id, error, help }: { id: string; error: string | undefined; help: string | undefined }) {
  return (
    <>
      {error && (
        <p class={alertCss.err} id={`${id}-e`}>
          <Mark shape="triangle" />
          <span>{error}</span>
        </p>
      )}
      {help && (
        <p class="quiet" id={`${id}-h`}>
          {help}
        </p>
      )}
    </>
  );
}

/** What is wrong with the form as a whole, or that a wait is over. */
export function Whole({ error, over, asking }: { error: string | undefined; over: boolean; asking: boolean }) {
  return (
    <>
      {error && <Alert text={error} />}
      <p role="status" class={asking ? `unseen ${doorCss.asking}` : undefined}>
        {asking ? later.door.asking : over ? later.door.again : ''}
      </p>
    </>
  );
}
