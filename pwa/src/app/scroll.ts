/** What is scrolled is the middle of the page, and in a low window the page whole (frame.css): never the window itself. */
const scrolled = (): Element[] => {
  const middle = document.querySelector('main');
  return middle ? [middle, ...(middle.parentElement ? [middle.parentElement] : [])] : [];
};

const top = (): number => Math.max(0, ...scrolled().map((it) => it.scrollTop));

function put(to: number): void {
  for (const it of scrolled()) it.scrollTop = to;
}

/** How far the pages of the history were scrolled, by their step. */
const places = new Map<number, number>();
const longest = 10_000; // ms: until then what stands on a page should have come from the core
const pause = 50; // ms
let turn = 0;

/** The page of that step is left. */
export function leave(step: number): void {
  places.set(step, top());
}

export function toStart(): void {
  turn++;
  put(0);
}

/** To where the page of that step was left. What stands there comes by and by, so it is tried until the page is long enough. */
export function resume(step: number): void {
  const place = places.get(step) ?? 0;
  const until = performance.now() + longest;
  const mine = ++turn;
  let last: number | null = null;
  const reach = () => {
    const now = top();
    if (mine !== turn || (last !== null && now !== last && now !== 0)) return; // the person has gone on, or scrolled
    put(place);
    last = top();
    if (last < place && performance.now() < until) setTimeout(reach, pause);
  };
  requestAnimationFrame(reach);
}

const keys: ReadonlySet<string> = new Set(['PageUp', 'PageDown', 'Home', 'End', 'ArrowUp', 'ArrowDown', ' ']);

/** The keys that scroll act where the focus is. At the start of a page that is its heading, or nothing: they mean what is read. */
export function followKeys(): void {
  document.addEventListener('keydown', ({ key, defaultPrevented }) => {
    if (defaultPrevented || !keys.has(key)) return;
    const at = document.activeElement;
    if (at === null || at === document.body || at.localName === 'h1')
      document.querySelector('main')?.focus({ preventScroll: true });
  });
}
