/**
 * A device of the person's that was shut because its sign-in came from two places: told once on each of the other
 * devices, until it is put away there.
 */
import { effect, signal } from '@preact/signals';
import { api } from './core-client.ts';
import { devicesIn, shutSince } from './parts/device.ts';
import { journal, ready, sync } from './state.ts';

/** The devices it is told of just now. */
export const reused = signal<readonly string[]>([]);

const key = 'reused-told';

/** Asks once after the app was opened, as soon as there is signal and the device is signed in. */
export function watchReused(): void {
  let asked = false;
  effect(() => {
    const paired = journal.value?.paired;
    if (!ready.value || !sync.value.online || sync.value.state === 'stopped' || !paired || paired.out !== undefined)
      return;
    if (asked) return;
    asked = true;
    void look();
  });
}

async function look(): Promise<void> {
  const devices = await api('GET', '/api/v1/auth/devices').then(devicesIn, () => 'none' as const);
  if (devices === 'none') return;
  const before = told();
  reused.value = shutSince(devices)
    .map(({ id }) => id)
    .filter((id) => !before.includes(id));
}

/** The person has read it. */
export function putAway(): void {
  try {
    localStorage.setItem(key, JSON.stringify([...told(), ...reused.value]));
  } catch {
    // without storage it is told again at the next opening
  }
  reused.value = [];
}

function told(): string[] {
  try {
    const kept: unknown = JSON.parse(localStorage.getItem(key) ?? '[]');
    return Array.isArray(kept) ? kept.filter((it) => typeof it === 'string') : [];
  } catch {
    return [];
  }
}
