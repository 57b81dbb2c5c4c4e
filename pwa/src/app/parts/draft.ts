import { useEffect, useRef, useState } from 'preact/hooks';
import { draft, keepDraft } from '../core-client.ts';

const pauseMs = 300;

/** A form that is kept on this device while it is being filled in. */
export interface Draft<T> {
  /** null until the disk has said whether there is one. */
  value: T | null;
  set: (next: T) => void;
  /** It was saved or put away: forget it. */
  drop: () => void;
  /** It was found on the disk, begun earlier. */
  found: boolean;
}

/** `read` takes what lay on the disk, or null when it is of no use any more; `write` says what is laid there. */
export function useDraft<T>(
  key: string,
  blank: () => T,
  read: (kept: unknown) => T | null,
  write: (value: T) => unknown = (value) => value,
): Draft<T> {
  const [value, setValue] = useState<T | null>(null);
  const [found, setFound] = useState(false);
  const pending = useRef<{ timer: ReturnType<typeof setTimeout>; run: () => void } | null>(null);

  useEffect(() => {
    let gone = false;
    setValue(null);
    draft(key)
      .then((text) => (text === null ? null : read(JSON.parse(text))))
      .catch(() => null) // unreadable, or no disk: begin anew
      .then((kept) => {
        if (gone) return;
        setFound(kept !== null);
        setValue(kept ?? blank());
      });
    return () => {
      gone = true;
      if (pending.current) {
        clearTimeout(pending.current.timer);
        pending.current.run();
        pending.current = null;
      }
    };
  }, [key]);

  const later = (run: () => void) => {
    if (pending.current) clearTimeout(pending.current.timer);
    const timer = setTimeout(() => {
      pending.current = null;
      run();
    }, pauseMs);
    pending.current = { timer, run };
  };

  return {
    value,
    found,
    set: (next) => {
      setValue(next);
      later(() => void keepDraft(key, JSON.stringify(write(next))).catch(() => undefined));
    },
    drop: () => {
      if (pending.current) clearTimeout(pending.current.timer);
      pending.current = null;
      setFound(false);
      setValue(blank());
      void keepDraft(key, null).catch(() => undefined);
    },
  };
}
