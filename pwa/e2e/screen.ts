/** A page as it is looked at: three sizes, both themes, text once and twice as large, folded and unfolded. */
import { mkdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { AxeBuilder } from '@axe-core/playwright';
import { type Page, test } from '@playwright/test';
import { objectionsTo } from './layout.ts';

/** PICTURES=yes leaves them there, the whole page on each, for eyes. */
const folder = fileURLToPath(new URL('../test-results/screens', import.meta.url));
const pictures = process.env.PICTURES === 'yes';
const sizes = {
  narrow: { width: 320, height: 640 },
  phone: { width: 390, height: 844 },
  laptop: { width: 1280, height: 800 },
} as const;

/** The page has an answer to show: no more shapes of rows, no more "one moment". */
export async function drawn(page: Page): Promise<void> {
  await page.locator('h1:not(:empty)').waitFor();
  await page.waitForFunction(() => {
    const main = document.querySelector('main');
    return main !== null && main.innerText.trim() !== '' && main.querySelector('[data-testid=waiting]') === null;
  });
}

/** The styles of every other room are there too: one that comes later must change nothing. */
export async function whole(page: Page): Promise<void> {
  const here = () => performance.getEntriesByName('every room is here').length > 0;
  await page.waitForFunction(here, null, { timeout: 120_000 });
}

/**
 * The answer names what is wrong, none when all is well: for axe and for the layout. Themes differ in colours only, and
 * colours are the same at each size, so axe looks at a phone in the dark and at a laptop in the light.
 * The window has the size it had before.
 */
export async function faultsOf(page: Page, name: string): Promise<string[]> {
  // Looking takes its time, which is no part of what the story itself may take.
  test.info().setTimeout(test.info().timeout + 60_000);
  const faults: string[] = [];
  const axe = async (kind: string) => {
    // The app has no frames to look into, and only what is wrong is asked for.
    const builder = new AxeBuilder({ page }).setLegacyMode(true).options({ resultTypes: ['violations'] });
    const { violations } = await builder.analyze();
    for (const { id, nodes } of violations) {
      faults.push(`${name}, ${kind}: ${id}: ${nodes.map(({ target }) => target.join(' ')).join('; ')}`);
    }
  };
  await whole(page);
  const before = page.viewportSize();
  for (const size of ['narrow', 'phone', 'laptop'] as const) {
    await sized(page, size);
    if (size === 'phone') await axe('phone, dark');
    if (size !== 'narrow') {
      await page.emulateMedia({ colorScheme: 'light', reducedMotion: 'reduce' });
      if (size === 'laptop') await axe('laptop, light');
      await picture(page, `${name}-${size}-light`);
    }
    faults.push(...(await layoutAt(page, name, size)));
  }
  if (before) await page.setViewportSize(before);
  return faults;
}

/** The same of the layout alone. `put` brings the page into the state that is looked at, at each size anew. */
export async function layoutOf(page: Page, name: string, put?: () => Promise<void>): Promise<string[]> {
  const faults: string[] = [];
  await whole(page);
  for (const size of ['narrow', 'phone', 'laptop'] as const) {
    await sized(page, size);
    await put?.();
    faults.push(...(await layoutAt(page, name, size)));
  }
  return faults;
}

/** Goes where a link would lead: the page is drawn anew, the app is not loaded anew. */
export async function follow(page: Page, path: string): Promise<void> {
  for (const to of ['/nowhere', path]) {
    await page.evaluate((href) => {
      const link = document.createElement('a');
      link.href = href;
      document.body.append(link);
      link.click();
      link.remove();
    }, to);
  }
  await drawn(page);
}

async function sized(page: Page, size: keyof typeof sizes): Promise<void> {
  await page.setViewportSize(sizes[size]);
  await page.emulateMedia({ colorScheme: 'dark', reducedMotion: 'reduce' });
  await drawn(page);
}

/** As it stands, then with all that can be unfolded, then with text twice as large. */
async function layoutAt(page: Page, name: string, size: string): Promise<string[]> {
  const faults: string[] = [];
  const look = async (kind: string) => {
    faults.push(...(await objectionsTo(page)).map((what) => `${name}, ${size}${kind}: ${what}`));
    await picture(page, `${name}-${size}${kind.replace(/\W+/g, '-')}`);
  };
  await look('');
  const closed = await unfold(page);
  if (closed > 0) await look(', unfolded');
  await page.evaluate(() => (document.documentElement.style.fontSize = '32px'));
  await look(', text 200 %');
  await page.evaluate(() => (document.documentElement.style.fontSize = ''));
  if (closed > 0) await fold(page);
  return faults;
}

/** Opens what is folded; the answer is how much was. */
async function unfold(page: Page): Promise<number> {
  return page.evaluate(async () => {
    const closed = document.querySelectorAll<HTMLDetailsElement>('details:not([open])');
    for (const it of closed) {
      it.open = true;
      it.dataset.unfolded = '';
    }
    await new Promise((resolve) => setTimeout(resolve, closed.length > 0 ? 50 : 0)); // what is drawn only when it is open
    return closed.length;
  });
}

async function fold(page: Page): Promise<void> {
  await page.evaluate(() => {
    for (const it of document.querySelectorAll<HTMLDetailsElement>('details[data-unfolded]')) {
      it.open = false;
      delete it.dataset.unfolded;
    }
  });
}

/** All that can be scrolled to, in a window that is tall enough for it. */
async function picture(page: Page, name: string): Promise<void> {
  if (!pictures) return;
  mkdirSync(folder, { recursive: true });
  const size = page.viewportSize();
  const hidden = await page.evaluate(() =>
    Math.max(
      ...[document.documentElement, ...document.querySelectorAll('.page, main')].map(
        (it) => it.scrollHeight - it.clientHeight,
      ),
    ),
  );
  if (size) await page.setViewportSize({ ...size, height: Math.min(size.height + hidden, 8000) });
  await page.screenshot({ path: `${folder}/${name}.png` });
  if (size) await page.setViewportSize(size);
}
