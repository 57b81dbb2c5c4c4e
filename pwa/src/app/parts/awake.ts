import { useEffect } from 'preact/hooks';

interface Lock {
  release: () => Promise<void>;
}

/**
 * Keeps the screen on, where the browser can, until the answer is called. The browser lets go whenever the page is out of
 * sight, so it is asked again each time the page comes back.
 */
export function awake(
  page: Pick<Document, 'visibilityState' | 'addEventListener' | 'removeEventListener'>,
  request: (() => Promise<Lock>) | undefined,
): () => void {
  let over = false;
  let lock: Lock | null = null;
  const take = () => {
    if (request === undefined || page.visibilityState !== 'visible') return;
    request().then(
      (it) => {
        if (over) void it.release().catch(() => undefined);
        else lock = it;
      },
      () => undefined, // a battery saver may refuse
    );
  };
  take();
  page.addEventListener('visibilitychange', take);
  return () => {
    over = true;
    page.removeEventListener('visibilitychange', take);
    void lock?.release().catch(() => undefined);
  };
}

/** The screen stays on while this is drawn. */
export function useAwake(): void {
  useEffect(
    () => awake(document, 'wakeLock' in navigator ? () => navigator.wakeLock.request('screen') : undefined),
    [],
  );
}
