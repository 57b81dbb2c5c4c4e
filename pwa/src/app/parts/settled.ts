import { useEffect, useRef, useState } from 'preact/hooks';

const pauseMs = 600;

/**
 * A value changed in steps and saved once, when the hand has come to rest (or has left the page). While it is on its way
 * the person sees what they chose, not what was saved last.
 */
export function useSettled<T>(saved: T, commit: (value: T) => Promise<unknown>): [T, (value: T) => void] {
  const [chosen, setChosen] = useState<{ value: T } | null>(null);
  const pending = useRef<{ timer: ReturnType<typeof setTimeout>; value: T } | null>(null);
  const save = useRef(commit);
  save.current = commit;

  const flush = () => {
    const due = pending.current;
    if (!due) return;
    clearTimeout(due.timer);
    pending.current = null;
    void save.current(due.value).finally(() => {
      if (!pending.current) setChosen(null);
    });
  };
  useEffect(() => {
    addEventListener('pagehide', flush);
    return () => {
      removeEventListener('pagehide', flush);
      flush();
    };
  }, []);

  return [
    chosen ? chosen.value : saved,
    (value) => {
      if (pending.current) clearTimeout(pending.current.timer);
      setChosen({ value });
      pending.current = { value, timer: setTimeout(flush, pauseMs) };
    },
  ];
}
