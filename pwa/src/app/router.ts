import { signal } from '@preact/signals';
import { leave, resume, toStart } from './scroll.ts';

/** Where the person is: the path without origin, query and fragment. */
export const path = signal(location.pathname);

export type Params = Readonly<Record<string, string>>;

/** '/journal/:pour' against '/journal/01K…': the named parts, or null when the path is another one. */
export function match(pattern: string, at: string): Params | null {
  const want = pattern.split('/').filter(Boolean);
  const have = at.split('/').filter(Boolean);
  if (want.length !== have.length) return null;
  const params: Record<string, string> = {};
  for (const [i, part] of want.entries()) {
    const given = have[i] ?? '';
    if (part.startsWith(':')) params[part.slice(1)] = decode(given);
    else if (part !== given) return null;
  }
  return params;
}

function decode(part: string): string {
  try {
    return decodeURIComponent(part);
  } catch {
    return part; // a stray % typed by hand
  }
}

/** How many steps of ours lie behind this one; the browser keeps it with the page, so it survives a reload. */
function depth(): number {
  const kept: unknown = history.state;
  return typeof kept === 'number' ? kept : 0;
}

/** The step whose page is shown; by the time the browser tells of a step back, its own count has moved on. */
let step = depth();

/** Goes to a path of the app. `instead` leaves no step in the history (after a save, say). */
export function go(to: string, instead = false): void {
  leave(depth());
  if (instead) history.replaceState(depth(), '', to);
  else history.pushState(depth() + 1, '', to);
  step = depth();
  path.value = location.pathname;
  toStart();
}

/** One step back inside the app; `otherwise` when this page was opened from outside. */
export function back(otherwise: string): void {
  if (depth() > 0) history.back();
  else go(otherwise, true);
}

/** Links of ours change the room without loading a page; the browser keeps its own ways (new tab, other origin, download). */
export function listen(): void {
  addEventListener('popstate', () => {
    leave(step);
    step = depth();
    path.value = location.pathname;
    resume(step);
  });
  document.addEventListener('click', (event) => {
    if (
      event.defaultPrevented ||
      event.button !== 0 ||
      event.metaKey ||
      event.ctrlKey ||
      event.shiftKey ||
      event.altKey
    )
      return;
    const link = event.target instanceof Element ? event.target.closest('a') : null;
    if (!link || link.target || link.hasAttribute('download') || link.origin !== location.origin) return;
    event.preventDefault();
    if (link.pathname + link.search !== location.pathname + location.search) go(link.pathname + link.search);
  });
}
