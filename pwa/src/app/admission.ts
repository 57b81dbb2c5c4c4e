/** Admission by a one-time code: from a link (/pair#code=…) or typed in; another device may have to confirm it. */
import { signal } from '@preact/signals';
import { claim, dropClaim, redeem } from './core-client.ts';
import { go } from './router.ts';
import { journal } from './state.ts';
import { words } from './words.ts';

type Admission =
  /** No code in play; /pair shows the form. */
  | { at: 'rest' }
  /** A link was opened on an iPhone outside the Home Screen app: the code is shown to be typed there. */
  | { at: 'carry'; code: string }
  | { at: 'asking'; code: string }
  /** The number in `waiting` has to be confirmed on a device that is signed in. */
  | { at: 'waiting' }
  /** Not admitted: a code of the server, or '' when no answer came. */
  | { at: 'refused'; code: string; why: string };

export const admission = signal<Admission>({ at: 'rest' });

/** The number this device waits with, also while another page is looked at; null when it waits for nothing. */
export const waiting = signal<string | null>(null);

/** What a link, or a code typed at the wrong door, brought along; kept in memory alone. */
export const held = signal<{ key: string; code: string; linked: boolean }>({ key: '', code: '', linked: false });

/** Where the app runs, as far as a link matters. */
export interface Place {
  /** Links open Safari, never the Home Screen app, and the two keep separate stores. */
  ios: boolean;
  standalone: boolean;
  touch: boolean;
  wide: boolean;
}

/**
 * Takes the code or key out of the address at once, so it stays in no history. A pairing code is redeemed where that
 * admits this app; a set-up key and an invitation wait for a name and a password.
 */
export function openLink(place: Place): void {
  const door = doorIn(location.pathname, location.hash);
  if (door !== null) {
    held.value = { key: door.key, code: door.code, linked: true };
    go(door.path, true);
    return;
  }
  const code = codeIn(location.pathname, location.hash);
  if (code === null) return;
  go('/', true);
  if (place.ios && !place.standalone) admission.value = { at: 'carry', code };
  else void admit(code, words.pair.names[nameOf(place)]);
}

/** The code of a pairing link, null when the address is another one. */
function codeIn(pathname: string, fragment: string): string | null {
  return pathname === '/pair' ? partOf(fragment, 'code') : null;
}

/** The key of a set-up link or the code of an invitation, null when the address is another one. */
function doorIn(pathname: string, fragment: string): { path: string; key: string; code: string } | null {
  const key = pathname === '/setup' ? partOf(fragment, 'key') : null;
  const code = pathname === '/join' ? partOf(fragment, 'code') : null;
  return key === null && code === null ? null : { path: pathname, key: key ?? '', code: code ?? '' };
}

function partOf(fragment: string, name: string): string | null {
  return new URLSearchParams(fragment.replace(/^#/, '')).get(name) || null;
}

/** This device is in: to Tonight, or first to what was written here before. */
export function arrive(): void {
  held.value = { key: '', code: '', linked: false };
  admission.value = { at: 'rest' };
  go(nextDecision(), true);
}

/** Where the person decides what becomes of what lies here besides the open journal; Tonight when there is nothing. */
export function nextDecision(but = ''): string {
  const { undecided = 0, forgotten = [] } = journal.value ?? {};
  const lost = forgotten.find((it) => !it.decided && it.id !== but);
  if (lost) return `/bring/${lost.id}`;
  return undecided > 0 ? '/bring' : '/';
}

/** One try; the server counts wrong ones. */
export async function admit(code: string, name: string): Promise<void> {
  admission.value = { at: 'asking', code };
  try {
    const { status, body } = await redeem(code, name);
    const number = status === 202 ? numberIn(body) : null;
    if (number !== null) {
      wait(number);
    } else if (status === 200) {
      arrive();
    } else if (problemCode(body) === 'invitation') {
      held.value = { key: '', code, linked: false };
      admission.value = { at: 'rest' };
      go('/join', true);
    } else {
      admission.value = { at: 'refused', code, why: problemCode(body) };
    }
  } catch {
    admission.value = { at: 'refused', code, why: '' };
  }
}

/** A wait that a reload interrupted goes on. */
export async function resume(): Promise<void> {
  const { number } = await claim().catch(() => ({ number: null }));
  if (number !== null && admission.value.at === 'rest') wait(number);
}

/** The person gives up waiting; the code is used up all the same. */
export async function giveUp(): Promise<void> {
  waiting.value = null;
  admission.value = { at: 'rest' };
  await dropClaim().catch(() => undefined);
}

const everyMs = 2_000;
let timer: ReturnType<typeof setTimeout> | undefined;

function wait(number: string): void {
  waiting.value = number;
  admission.value = { at: 'waiting' };
  clearTimeout(timer);
  timer = setTimeout(() => void look(), everyMs);
}

async function look(): Promise<void> {
  const mine = waiting.value;
  if (mine === null) return;
  const { number, answer } = await claim().catch(() => ({ number: mine, answer: null }));
  if (waiting.value === null) return; // given up meanwhile
  if (number !== null) {
    waiting.value = number; // another tab may have shown another code
    timer = setTimeout(() => void look(), everyMs);
    return;
  }
  waiting.value = null;
  if (admission.value.at !== 'waiting') return; // the person looks at another page: it stays
  if (answer === null || answer.status === 200) {
    arrive();
  } else {
    admission.value = { at: 'refused', code: '', why: problemCode(answer.body) };
  }
}

function numberIn(body: unknown): string | null {
  return typeof body === 'object' && body !== null && 'number' in body && typeof body.number === 'string'
    ? body.number
    : null;
}

export function problemCode(body: unknown): string {
  return typeof body === 'object' && body !== null && 'code' in body && typeof body.code === 'string' ? body.code : '';
}

/** What this device is called until its owner says otherwise. */
export function nameOf(place: Place): 'phone' | 'tablet' | 'laptop' {
  if (!place.touch) return 'laptop';
  return place.wide ? 'tablet' : 'phone';
}

export function placeOf(): Place {
  const media = (query: string) => matchMedia(query).matches;
  return {
    // An iPad says it is a Mac; a Mac has no touch points.
    ios:
      /iPhone|iPad|iPod/.test(navigator.userAgent) ||
      (/Macintosh/.test(navigator.userAgent) && navigator.maxTouchPoints > 1),
    standalone: media('(display-mode: standalone)') || ('standalone' in navigator && navigator.standalone === true),
    touch: media('(pointer: coarse)') || innerWidth < 600,
    wide: Math.min(screen.width, screen.height) >= 600,
  };
}
