import { useEffect, useState } from 'preact/hooks';

/** Shown until hidden, and hidden by itself when the page goes out of sight: it may come back in another hand. */
export function useHidden(): [boolean, (shown: boolean) => void] {
  const [shown, setShown] = useState(false);
  useEffect(() => {
    const hide = () => document.visibilityState === 'hidden' && setShown(false);
    document.addEventListener('visibilitychange', hide);
    return () => document.removeEventListener('visibilitychange', hide);
  }, []);
  return [shown, setShown];
}
