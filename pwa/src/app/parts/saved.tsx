import { signal } from '@preact/signals';
import type { Intent, Done } from '../../shared/core.ts';
import { act, RefusedError } from '../core-client.ts';
import { words } from '../words.ts';
import * as savedCss from './saved.module.css';

/** What was last saved, with the way back; or why it was not. Shown above the main act of whichever room is open. */
type Line = { text: string; undo?: Intent; bad?: boolean };
/** `no` tells two saves with the same words apart, so that the second is drawn and spoken too. */
const line = signal<(Line & { no: number }) | null>(null);
let shown = 0;
let timer: ReturnType<typeof setTimeout> | undefined;

function show(next: Line): void {
  line.value = { ...next, no: ++shown };
  clearTimeout(timer);
  timer = setTimeout(
    () => {
      line.value = null;
    },
    next.bad ? 15_000 : 8_000,
  );
}

/** Does what a person did, and says "saved" only when it is on this device's disk. Null when it was not saved. */
export async function save(
  intent: Intent,
  text: string = words.saved,
  undo?: (done: Done) => Intent,
): Promise<Done | null> {
  try {
    const done = await act(intent);
    show(undo ? { text, undo: undo(done) } : { text });
    return done;
  } catch (error) {
    show({ text: error instanceof RefusedError ? error.refusal.text : words.notSaved, bad: true });
    return null;
  }
}

/** It is on this device's disk already: says so, with the way back. */
export function saved(text: string, undo?: Intent): void {
  show(undo ? { text, undo } : { text });
}

export function notSaved(): void {
  show({ text: words.notSaved, bad: true });
}

export function SavedLine() {
  const now = line.value;
  const undo = now?.undo;
  return (
    <div
      class={now?.bad ? `${savedCss.saved} ${savedCss.bad}` : savedCss.saved}
      role="status"
      data-empty={now ? undefined : ''}
    >
      {now && <p key={now.no}>{now.text}</p>}
      {undo && (
        <button type="button" class="link" onClick={() => void save(undo, words.undone)}>
          {words.undo}
        </button>
      )}
    </div>
  );
}
