import { useEffect, useRef, useState } from 'preact/hooks';
import { words } from '../words.ts';
import { counted, once } from './once.tsx';
import * as confirmCss from './confirm.module.css';

/** A button that asks once more, in place: for what cannot be undone. */
export function Confirm({
  label,
  named,
  question,
  yes,
  disabled = false,
  onYes,
}: {
  label: string;
  /** The whole name, where the label alone would not say of what. */
  named?: string;
  question: string;
  yes: string;
  disabled?: boolean;
  /** Whether it was done; when it was not, the next touch is the first. */
  onYes: () => boolean | Promise<boolean>;
}) {
  const [asking, setAsking] = useState(false);
  const first = useRef<HTMLButtonElement>(null);
  const open = useRef<HTMLButtonElement>(null);
  const asked = useRef(false);
  useEffect(() => {
    if (asking) first.current?.focus();
    else if (asked.current) open.current?.focus();
    asked.current = asking;
  }, [asking]);
  if (!asking) {
    return (
      <button
        ref={open}
        type="button"
        class="btn"
        aria-label={named}
        disabled={disabled}
        onClick={() => {
          counted(); // so the same touch answers nothing
          setAsking(true);
        }}
      >
        {label}
      </button>
    );
  }
  return (
    <div class={confirmCss.confirm} role="group" aria-label={question}>
      <p>{question}</p>
      <div class="btns">
        <button ref={first} type="button" class="btn" onClick={() => setAsking(false)}>
          {words.leaveIt}
        </button>
        <button
          type="button"
          class="btn strong"
          onClick={() =>
            void once(`yes ${named ?? label}`, async () => {
              setAsking(false);
              return await onYes();
            })
          }
        >
          {yes}
        </button>
      </div>
    </div>
  );
}
