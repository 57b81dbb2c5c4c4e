import { signal } from '@preact/signals';
import type { SyncState } from '../shared/core.ts';

/** Where the device stands with its server; the core client keeps it. */
export const sync = signal<SyncState>({ state: 'local', unsent: 0, online: true, code: null, last_ms: null, clock_off_ms: 0 });

/** A new version of the app is installed and waits to be taken. */
export const updateWaiting = signal(false);
