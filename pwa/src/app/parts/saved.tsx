import { signal } from '@preact/signals';
import type { Intent, Done } from '../../shared/core.ts';
import { act, RefusedError } from '../core-client.ts';
import { words } from '../words.ts';
import { counted, lastTouch, Once, once, release } from './once.tsx';
import * as savedCss from './saved.module.css';
import { inOrder, joined } from './taken-back.ts';

/** What was last saved, with the way back; or why it was not. Shown above the main act of whichever room is open. */
type Line = { text: string; back: readonly Intent[]; bad?: boolean };
/** `no` tells two saves with the same words apart, so that the second is drawn and spoken too. */
const line = signal<(Line & { no: number }) | null>(null);
let shown = 0;
let timer: ReturnType<typeof setTimeout> | undefined;

function show(text: string, undo?: Intent, bad = false): void {
  const back = undo ? joined(line.peek()?.back ?? [], undo) : [];
  line.value = { text, back, bad, no: ++shown };
  clearTimeout(timer);
  timer = setTimeout(
    () => {
      line.value = null;
    },
    bad ? 15_000 : 8_000,
  );
}

const makes: ReadonlySet<Intent['do']> = new Set([
  'plain',
  'several',
  'water',
  'pour',
  'again',
  'bottle',
  'anchor',
  'trial',
]);

/** What an intent makes is made once by one touch, also of a form that was sent twice before it closed: its name for that. */
function made(intent: Intent): string | null {
  if (!makes.has(intent.do) && !(intent.do === 'edit' && intent.kind === 'level')) return null;
  return JSON.stringify(intent, (key, value: unknown) => (key === 'id' || key === 'at_ms' ? undefined : value));
}

/**
 * Does what a person did, and says "saved" only when it is on this device's disk. Null when it was not saved, or when the
 * touch was a part of one that saved the same.
 */
export async function save(
  intent: Intent,
  text: string = words.saved,
  undo?: (done: Done) => Intent,
): Promise<Done | null> {
  const touch = lastTouch();
  const doing = async () => {
    try {
      const done = await act(intent);
      counted(touch);
      show(text, undo?.(done));
      return done;
    } catch (error) {
      show(error instanceof RefusedError ? error.refusal.text : words.notSaved, undefined, true);
      return null;
    }
  };
  const what = made(intent);
  return what === null ? doing() : once(what, doing, touch);
}

/** It is on this device's disk already: says so, with the way back. */
export function saved(text: string, undo?: Intent): void {
  counted();
  show(text, undo);
}

export function notSaved(): void {
  show(words.notSaved, undefined, true);
}

async function takeBack(ways: readonly Intent[]): Promise<Done | null> {
  release();
  let done: Done | null = null;
  for (const way of inOrder(ways)) {
    done = await save(way, words.undone(ways.length));
    if (!done) break;
  }
  return done;
}

export function SavedLine() {
  const now = line.value;
  const back = now?.back ?? [];
  return (
    <div
      class={now?.bad ? `${savedCss.saved} ${savedCss.bad}` : savedCss.saved}
      role="status"
      data-empty={now ? undefined : ''}
    >
      {now && <p key={now.no}>{now.text}</p>}
      {now && back.length > 0 && (
        <Once control={`undo ${now.no}`} class="link" act={() => takeBack(back)}>
          {words.undoes(back.length)}
        </Once>
      )}
    </div>
  );
}
