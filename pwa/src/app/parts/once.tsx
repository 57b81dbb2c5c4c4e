/** What saves with one touch, and takes no second from a wet hand: see touches.ts. */
import { signal } from '@preact/signals';
import type { ComponentChildren } from 'preact';
import { useRef } from 'preact/hooks';
import { localMoment } from '../format.ts';
import { words } from '../words.ts';
import { holdMs, type Touch, Touches } from './touches.ts';

const touches = new Touches();
/** What each control that is held says in place of its own words. */
const said = signal<ReadonlyMap<string, string>>(new Map());
const timers = new Map<string, ReturnType<typeof setTimeout>>();

function touchOf(event: Event): Touch {
  const at = event.timeStamp;
  // A key presses a button as a click without a place.
  return event instanceof MouseEvent && event.detail > 0 ? { at, x: event.clientX, y: event.clientY } : { at };
}

/** The last touch of anything, for what is saved without a control of its own. */
let last: Touch = { at: -holdMs };
export const lastTouch = (): Touch => last;

if (typeof document !== 'undefined') {
  let clicking = false;
  const capture = { capture: true };
  document.addEventListener(
    'click',
    (event) => {
      last = touchOf(event);
      clicking = true;
      setTimeout(() => (clicking = false));
    },
    capture,
  );
  // Most forms are sent by a click of their button, which has a place; one without a button by a key alone.
  document.addEventListener('submit', (event) => void (clicking || (last = touchOf(event))), capture);
  // A key that is held down presses a button once.
  document.addEventListener(
    'keydown',
    (event) => {
      if (event.repeat && event.key === 'Enter' && event.target instanceof HTMLButtonElement) event.preventDefault();
    },
    capture,
  );
}

/**
 * Does it unless this touch is a part of one that counted; then it is null. `work` says whether anything was saved: null,
 * false and undefined mean it was not, and then the next touch is the first.
 */
export async function once<T>(control: string, work: () => Promise<T>, touch: Touch = last): Promise<T | null> {
  if (!touches.take(control, touch)) return null;
  let did: T | null = null;
  try {
    did = await work();
    return did;
  } finally {
    if (did) touches.done(control);
    else touches.failed(control);
  }
}

/** A touch saved something, or brought a question up: it does nothing to what came to stand under it. */
export const counted = (touch: Touch = last): void => touches.counted(touch);

/** Everything is taken back: no control says "saved" any more. */
export function release(): void {
  touches.release();
  for (const timer of timers.values()) clearTimeout(timer);
  timers.clear();
  said.value = new Map();
}

function say(control: string, touch: Touch): void {
  const ms = touch.at + holdMs - performance.now();
  clearTimeout(timers.get(control));
  if (ms <= 0) return;
  said.value = new Map(said.peek()).set(control, words.savedAt(localMoment(Date.now()).slice(11)));
  timers.set(
    control,
    setTimeout(() => {
      timers.delete(control);
      const rest = new Map(said.peek());
      rest.delete(control);
      said.value = rest;
    }, ms),
  );
}

interface OnceProps {
  /** Its name among all controls of the app; the same control keeps it when it is drawn anew. */
  control: string;
  class: string;
  /** Where its words do not say it. */
  label?: string;
  /** Resolves with what says that it was saved. */
  act: () => Promise<unknown>;
  children: ComponentChildren;
}

/** A button that saves with one touch. While it is held it keeps its place and its size, and says what was saved. */
export function Once({ control, class: look, label, act, children }: OnceProps) {
  const size = useRef({ minWidth: '', minHeight: '' });
  const text = said.value.get(control);
  const held = text !== undefined;
  return (
    <button
      type="button"
      class={look}
      style={held ? size.current : undefined}
      aria-disabled={held}
      aria-label={held ? undefined : label}
      onClick={(event) => {
        const { offsetWidth, offsetHeight } = event.currentTarget;
        if (!held) size.current = { minWidth: `${offsetWidth}px`, minHeight: `${offsetHeight}px` };
        const touch = touchOf(event);
        void once(control, act, touch).then((did) => void (did && say(control, touch)));
      }}
    >
      {held ? <span>{text}</span> : children}
    </button>
  );
}
