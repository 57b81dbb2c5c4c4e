/** How this device shows the app: theme and hand. A matter of the device, so it is not in the journal. */
import { effect, signal } from '@preact/signals';

export type Theme = 'system' | 'dark' | 'light';
export type Hand = 'right' | 'left';

export const theme = signal<Theme>(kept('theme', ['system', 'dark', 'light']));
export const hand = signal<Hand>(kept('hand', ['right', 'left']));

/** The page follows the two from now on. Without a choice it follows the system, which tokens.css does by itself. */
export function follow(): void {
  const root = document.documentElement;
  effect(() => {
    if (theme.value === 'system') delete root.dataset.theme;
    else root.dataset.theme = theme.value;
    keep('theme', theme.value);
    for (const meta of document.querySelectorAll<HTMLMetaElement>('meta[name="theme-color"]')) {
      const own = meta.media.includes('light') ? 'light' : 'dark';
      meta.content = ground[theme.value === 'system' ? own : theme.value];
    }
  });
  effect(() => {
    if (hand.value === 'left') root.dataset.hand = 'left';
    else delete root.dataset.hand;
    keep('hand', hand.value);
  });
}

/** The bar of the browser in the colour of the page: --ground of tokens.css, which a test compares. */
export const ground = { dark: '#191310', light: '#f4ede0' } as const;

function kept<T extends string>(name: string, known: readonly [T, ...T[]]): T {
  try {
    const value = localStorage.getItem(name);
    return known.find((it) => it === value) ?? known[0];
  } catch {
    return known[0]; // storage is off: the choice lasts as long as the page
  }
}

function keep(name: string, value: string): void {
  try {
    localStorage.setItem(name, value);
  } catch {
    // as above
  }
}
