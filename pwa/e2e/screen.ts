/** A page as it is looked at: both sizes, both themes, narrow, and with text twice as large. */
import { mkdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { AxeBuilder } from '@axe-core/playwright';
import type { Page } from '@playwright/test';

const folder = fileURLToPath(new URL('../test-results/screens', import.meta.url));
const sizes = { phone: { width: 390, height: 844 }, laptop: { width: 1280, height: 800 } } as const;
const narrow = { width: 320, height: 640 } as const;

/** The page has an answer to show: no more shapes of rows, no more "one moment". */
export async function drawn(page: Page): Promise<void> {
  await page.locator('h1:not(:empty)').waitFor();
  await page.waitForFunction(() => {
    const main = document.querySelector('main');
    return main !== null && main.innerText.trim() !== '' && main.querySelector('[data-testid=waiting]') === null;
  });
}

/**
 * Leaves pictures under test-results/screens; the answer names what is wrong, none when all is well. Themes differ in
 * colours only, so axe looks at the second for contrast alone.
 */
export async function faultsOf(page: Page, name: string): Promise<string[]> {
  mkdirSync(folder, { recursive: true });
  const faults: string[] = [];
  const picture = (kind: string, whole: boolean) =>
    page.screenshot({ path: `${folder}/${name}-${kind}.png`, fullPage: whole });
  const axe = async (kind: string, rules?: string[]) => {
    // The app has no frames to look into, and only what is wrong is asked for.
    const builder = new AxeBuilder({ page }).setLegacyMode(true).options({ resultTypes: ['violations'] });
    const { violations } = await (rules ? builder.withRules(rules) : builder).analyze();
    for (const { id, nodes } of violations) {
      faults.push(`${name}, ${kind}: ${id}: ${nodes.map(({ target }) => target.join(' ')).join('; ')}`);
    }
  };
  const edges = async (kind: string) => {
    await drawn(page);
    faults.push(...(await beyondTheEdge(page)).map((what) => `${name}, ${kind}: ${what}`));
  };
  for (const [size, viewport] of Object.entries(sizes)) {
    await page.setViewportSize(viewport);
    await page.emulateMedia({ colorScheme: 'dark', reducedMotion: 'reduce' });
    await edges(size);
    await axe(`${size}, dark`);
    await picture(`${size}-dark`, false);
    await page.emulateMedia({ colorScheme: 'light', reducedMotion: 'reduce' });
    await axe(`${size}, light`, ['color-contrast']);
    await picture(`${size}-light`, true);
    await page.evaluate(() => (document.documentElement.style.fontSize = '32px'));
    await edges(`${size}, text 200 %`);
    await picture(`${size}-large`, true);
    await page.evaluate(() => (document.documentElement.style.fontSize = ''));
  }
  await page.setViewportSize(narrow);
  await edges('320 px');
  await picture('narrow', true);
  return faults;
}

/** What makes the page scroll sideways, or is cut off at its right edge. What scrolls inside its own frame may be wider. */
async function beyondTheEdge(page: Page): Promise<string[]> {
  return page.evaluate(async () => {
    await new Promise((resolve) => requestAnimationFrame(() => requestAnimationFrame(resolve)));
    const root = document.documentElement;
    const out: string[] = [];
    if (root.scrollWidth > root.clientWidth) out.push(`the page is ${root.scrollWidth} px wide in ${root.clientWidth}`);
    const framed = (it: Element): boolean => {
      for (let at = it.parentElement; at && at !== document.body; at = at.parentElement) {
        if (getComputedStyle(at).overflowX !== 'visible') return true;
      }
      return false;
    };
    for (const it of document.body.querySelectorAll('*')) {
      const { right, left, width, height } = it.getBoundingClientRect();
      if (width <= 1 || height <= 1 || it.closest('svg svg, svg *')) continue;
      if ((right > root.clientWidth + 1 || left < -1) && !framed(it)) {
        out.push(
          `${it.tagName.toLowerCase()}.${it.className} from ${Math.round(left)} to ${Math.round(right)} px: ${it.textContent?.slice(0, 40)}`,
        );
      }
    }
    return out.slice(0, 5);
  });
}
