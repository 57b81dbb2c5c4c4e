import { signal } from '@preact/signals';
import type { SyncState } from '../shared/core.ts';
import type { Left, OpenJournal } from '../shared/messages.ts';

/** Where the device stands with its server; the core client keeps it. */
export const sync = signal<SyncState>({
  state: 'local',
  unsent: 0,
  unreadable: 0,
  online: true,
  code: null,
  last_ms: null,
  clock_off_ms: 0,
});

/** The journal this device has open; null until the worker has said so. */
export const journal = signal<OpenJournal | null>(null);

/** The core has read the journal. */
export const ready = signal(false);

/** ok; none: the browser gives no storage; outdated: another tab runs a newer version, reload. */
export const storage = signal<'ok' | 'none' | 'outdated'>('ok');

/** Whether the browser promised not to clear what is here; null: not asked yet, or it cannot say. */
export const kept = signal<boolean | null>(null);

/** Everything here was erased, and what the server knows of it; null while there is a journal. */
export const erased = signal<Left | null>(null);

/** How far entries are brought along; null while none are. */
export const bringing = signal<{ done: number; total: number } | null>(null);

/** A new version of the app is installed and waits to be taken. */
export const updateWaiting = signal(false);
