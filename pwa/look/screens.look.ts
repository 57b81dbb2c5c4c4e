import AxeBuilder from '@axe-core/playwright';
import { expect, type Page, test } from '@playwright/test';
import { join } from 'node:path';
import type { Screen } from './screen.ts';
import { screens, stage } from './screens.ts';
import { out, stagePath } from './serve.ts';

const views = {
  phone: { width: 390, height: 844 },
  laptop: { width: 1280, height: 800 },
  narrow: { width: 320, height: 640 },
};

async function open(page: Page, screen: Screen): Promise<string[]> {
  const said: string[] = [];
  page.on('console', (message) => {
    if (message.type() === 'error') said.push(message.text());
  });
  page.on('pageerror', (error) => said.push(String(error)));
  await page.addInitScript(`globalThis.stage = ${JSON.stringify({ ...stage, ...screen.stage })}`);
  await page.addInitScript({ path: stagePath });
  if (!screen.young) await page.addInitScript("try { localStorage.setItem('adult', 'yes') } catch {}");
  if (screen.ios) await page.addInitScript("Object.defineProperty(navigator, 'userAgent', { get: () => 'iPhone' })");
  await page.goto(screen.path);
  await page.locator('h1').waitFor();
  await page.waitForTimeout(150);
  await screen.then?.(page);
  return said;
}

/** Wider than the window, or a target under 48 px: what a thumb would stumble over. */
async function flaws(page: Page): Promise<string[]> {
  return page.evaluate(() => {
    const found: string[] = [];
    const wide = document.documentElement.scrollWidth - document.documentElement.clientWidth;
    if (wide > 0) found.push(`the page is ${wide} px wider than the window`);
    for (const target of document.querySelectorAll<HTMLElement>(
      'button, a, input, select, textarea, summary, [role=spinbutton]',
    )) {
      const box = target.getBoundingClientRect();
      if (
        box.width === 0 ||
        getComputedStyle(target).display === 'inline' || // a link within a sentence
        (target instanceof HTMLInputElement && (target.type === 'checkbox' || target.type === 'radio'))
      )
        continue; // their label is the target
      if (box.height < 47.5 || box.width < 44)
        found.push(`${Math.round(box.width)} by ${Math.round(box.height)}: ${target.outerHTML.slice(0, 120)}`);
      if (box.right > innerWidth + 1) found.push(`past the edge: ${target.outerHTML.slice(0, 120)}`);
    }
    for (const styled of document.querySelectorAll('body [style]'))
      found.push(`a style attribute: ${styled.outerHTML.slice(0, 80)}`);
    return found;
  });
}

for (const screen of screens) {
  for (const [view, size] of Object.entries(views)) {
    for (const scheme of view === 'narrow' ? (['dark'] as const) : (['dark', 'light'] as const)) {
      test(`${screen.name} ${view} ${scheme}`, async ({ browser }) => {
        const context = await browser.newContext({ viewport: size, colorScheme: scheme });
        const page = await context.newPage();
        const said = await open(page, screen);
        await page.screenshot({ path: join(out, `${screen.name}-${view}-${scheme}.png`), caret: 'initial' });
        if (scheme === 'dark') expect.soft(await flaws(page)).toEqual([]);
        const { violations } = await new AxeBuilder({ page }).analyze();
        expect
          .soft(violations.map((it) => `${it.id}: ${it.nodes.map((node) => node.html.slice(0, 160)).join(' | ')}`))
          .toEqual([]);
        expect(said).toEqual([]);
        const tall = await page.evaluate(() => Math.max(innerHeight, document.documentElement.scrollHeight));
        await page.setViewportSize({ width: size.width, height: tall });
        await page.screenshot({ path: join(out, `${screen.name}-${view}-${scheme}-whole.png`), caret: 'initial' });
        await context.close();
      });
    }
  }
}

test.describe('under strain', () => {
  for (const screen of screens) {
    test(`${screen.name} at 200 % text`, async ({ browser }) => {
      const page = await browser.newPage({ viewport: views.phone, colorScheme: 'dark' });
      await open(page, screen);
      await page.evaluate(() => {
        document.documentElement.style.fontSize = '200%';
      });
      await page.waitForTimeout(50);
      await page.screenshot({ path: join(out, `${screen.name}-large.png`), caret: 'initial' });
      expect.soft(await flaws(page)).toEqual([]);
      await page.close();
    });
  }
});

/** Ways to see that nobody here has: looked at, and checked for what can be checked. */
const ways = {
  contrast: { contrast: 'more', colorScheme: 'dark' },
  'contrast-light': { contrast: 'more', colorScheme: 'light' },
  forced: { forcedColors: 'active', colorScheme: 'dark' },
} as const;

for (const name of [
  'tonight',
  'sheet',
  'spec',
  'week',
  'clash',
  'keeper',
  'setup-faults',
  'bring-going',
  'batch',
  'compared',
  'flight-sheet',
]) {
  const screen = screens.find((it) => it.name === name);
  if (!screen) throw new Error(`look: there is no screen ${name}`);
  for (const [way, how] of Object.entries(ways)) {
    test(`${name} with ${way}`, async ({ browser }) => {
      const context = await browser.newContext({ viewport: views.phone, ...how });
      const page = await context.newPage();
      const said = await open(page, screen);
      await page.screenshot({ path: join(out, `${name}-${way}.png`), caret: 'initial' });
      const { violations } = await new AxeBuilder({ page }).analyze();
      expect(violations.map((it) => it.id)).toEqual([]);
      expect(said).toEqual([]);
      await context.close();
    });
  }
  test(`${name} in print and in the other hand`, async ({ browser }) => {
    const context = await browser.newContext({ viewport: views.phone, reducedMotion: 'reduce' });
    const page = await context.newPage();
    await page.addInitScript(() => localStorage.setItem('hand', 'left'));
    await open(page, screen);
    await page.screenshot({ path: join(out, `${name}-left.png`), caret: 'initial' });
    expect(await flaws(page)).toEqual([]);
    await page.emulateMedia({ media: 'print' });
    await page.screenshot({ path: join(out, `${name}-print.png`), fullPage: true, caret: 'initial' });
    await expect(page.locator('footer')).toBeHidden();
    await expect(page.locator('h1')).toBeVisible();
    await context.close();
  });
}

test('the sheet of twelve lines and every caution prints on one page', async ({ browser }) => {
  const screen = screens.find((it) => it.name === 'batch');
  if (!screen) throw new Error('look: there is no screen batch');
  const page = await browser.newPage({ viewport: views.laptop });
  await open(page, screen);
  await page.emulateMedia({ media: 'print' });
  await page.setViewportSize({ width: 794, height: 1123 });
  await page.screenshot({ path: join(out, 'batch-sheet.png') });
  const pdf = await page.pdf({ path: join(out, 'batch-sheet.pdf'), format: 'A4' });
  expect(pdf.toString('latin1').match(/\/Type\s*\/Page\b/g)).toHaveLength(1);
  await page.close();
});
