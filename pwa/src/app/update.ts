/** The new version waits until the person takes it; nothing reloads by itself under a half-written form. */
import { effect } from '@preact/signals';
import { isFetched } from './routes.ts';
import { sync, updateWaiting } from './state.ts';

const hourMs = 60 * 60_000;
const settleMs = 500;
const patienceMs = 20_000;
let registration: ServiceWorkerRegistration | null = null;

/** Registers the service worker and watches for a newer one. */
export async function watch(): Promise<void> {
  if (!('serviceWorker' in navigator)) return; // plain http to another machine: no offline start, everything else works
  // The very first worker takes a page over silently; a later one means a new version: load it, once.
  let controlled = navigator.serviceWorker.controller !== null;
  let reloading = false;
  navigator.serviceWorker.addEventListener('controllerchange', () => {
    if (controlled && !reloading) {
      reloading = true;
      location.reload();
    }
    controlled = true;
  });
  let found: ServiceWorkerRegistration;
  try {
    found = await navigator.serviceWorker.register('/sw.js', { updateViaCache: 'none' });
  } catch {
    return; // private mode, or the server has no built app
  }
  registration = found;
  if (found.waiting && navigator.serviceWorker.controller) updateWaiting.value = true;
  found.addEventListener('updatefound', () => {
    const fresh = found.installing;
    fresh?.addEventListener('statechange', () => {
      if (fresh.state === 'installed' && navigator.serviceWorker.controller) updateWaiting.value = true;
    });
  });
  effect(() => {
    if (sync.value.code === 'too_old') look();
  });
  let checked = Date.now();
  document.addEventListener('visibilitychange', () => {
    if (document.visibilityState !== 'visible' || Date.now() - checked < hourMs) return;
    checked = Date.now();
    look();
  });
}

/** Asks the server for a newer version now. */
function look(): void {
  registration?.update().catch(() => undefined); // offline; the next look finds it
}

/**
 * The person takes the new version: it becomes active, then the page reloads once. It is asked when the old one has handed
 * out its files: told in the middle of that, Chromium 156 was seen to keep the old one, and to heed no second asking.
 */
export function takeUpdate(): void {
  const asked = performance.now();
  const waited = setInterval(() => {
    if (!isFetched() && performance.now() - asked < patienceMs) return;
    clearInterval(waited);
    registration?.waiting?.postMessage('take over');
  }, settleMs);
}
