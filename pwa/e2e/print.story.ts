import { execFileSync } from 'node:child_process';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type BrowserContextOptions, expect, type Page } from '@playwright/test';
import { words } from '../src/app/words.ts';
import { later } from '../src/app/words/en/later.ts';
import { Device, laptopShape, phoneShape } from './device.ts';
import { drawn } from './screen.ts';
import { Demo } from './server.ts';
import { test } from './story.ts';

let demo: Demo;
let folder = '';
test.beforeAll(async () => {
  demo = await Demo.start();
  folder = await mkdtemp(join(tmpdir(), 'fairmeasure-print-'));
});
test.afterAll(async () => {
  await demo.remove();
  await rm(folder, { recursive: true, force: true });
});
test.describe.configure({ timeout: 240_000 });

/** Poppler's: a reader that did not write what it reads. Without it the story fails. */
function reader(tool: 'pdftotext' | 'pdfinfo', ...args: string[]): string {
  return execFileSync(tool, args, { encoding: 'utf8' });
}

/** What the page says, once that stays as it is: answers come one after the other. */
async function settled(page: Page): Promise<string> {
  let said = '';
  await expect
    .poll(
      async () => {
        const before = said;
        said = await page.locator('main').innerText();
        return said !== '' && said === before;
      },
      { intervals: [1000], timeout: 60_000 },
    )
    .toBe(true);
  return said;
}

/** What stands on each page of a printed page, row by row. */
async function printed(page: Page, name: string): Promise<string[][]> {
  const path = join(folder, `${name}.pdf`);
  await page.pdf({ path, format: 'A4' });
  const count = Number(/^Pages:\s+(\d+)$/m.exec(reader('pdfinfo', path))?.[1]);
  const pages: string[][] = [];
  for (let at = 1; at <= count; at++) {
    const text = reader('pdftotext', '-layout', '-f', `${at}`, '-l', `${at}`, path, '-');
    pages.push(
      text
        .split(/[\n\f]/)
        .map((row) => row.trim().replace(/\s+/g, ' '))
        .filter((row) => row !== ''),
    );
  }
  return pages;
}

/** The words of all pages, however the rows were broken. */
const wordsOf = (pages: string[][]): string => pages.flat().join(' ').replace(/\s+/g, ' ');

/** Rows that a page may at least be expected to hold when another page follows it. */
const fullPage = 20;

const shapes: Record<string, BrowserContextOptions> = { phone: phoneShape, laptop: laptopShape };

test('paper: the same from a phone and a laptop, without empty pages, a spec as its card', async ({ browser }) => {
  const laptop = await Device.laptop(browser, demo);
  const { page } = laptop;
  const link = async (at: string, selector: string, text?: RegExp): Promise<string> => {
    await page.goto(demo.origin + at);
    await drawn(page);
    const found = page.locator(selector);
    return (await (text ? found.filter({ hasText: text }) : found).first().getAttribute('href')) ?? '';
  };
  await page.setViewportSize({ width: 390, height: 844 });
  const spec = await link('/specs', 'main a[href^="/specs/"]', /benchmark/);
  const pages: Record<string, string> = {
    spec,
    'spec-unpoured': await link('/specs', 'main a[href^="/specs/"]', /Bitter: gentian/),
    week: '/week',
    journal: '/journal',
    pour: await link('/', 'main a[href^="/journal/"]'),
    bottles: '/bottles',
    comparison: await link('/side', 'main a[href^="/side/"]', /12 pairings/),
  };
  const paper: Record<string, Record<string, string[][]>> = {};
  for (const [shape, { viewport }] of Object.entries(shapes)) {
    if (viewport) await page.setViewportSize(viewport);
    for (const [name, path] of Object.entries(pages)) {
      await test.step(`${name} from a ${shape}`, async () => {
        await page.goto(demo.origin + path);
        await drawn(page);
        // Beside a list the page is called by its room until what was chosen is there.
        const room = name.startsWith('spec') ? words.rooms.specs : name === 'pour' ? words.rooms.journal : '';
        await expect(page.locator('h1')).not.toHaveText(room, { timeout: 60_000 });
        const before = await settled(page);
        const out = await printed(page, `${name}-${shape}`);
        (paper[name] ??= {})[shape] = out;
        const title = (await page.locator('h1').innerText()).trim();
        expect(out[0]?.[0], 'the name stands first').toContain(title.split(/\s+/)[0]);
        for (const [at, rows] of out.entries()) {
          const last = at === out.length - 1;
          expect(rows.length, `page ${at + 1} of ${out.length}: ${rows.join(' | ')}`).toBeGreaterThanOrEqual(
            last ? 2 : fullPage,
          );
        }
        for (const button of [words.putAway, later.spec.print, words.rooms.keeper, words.save])
          expect(out.flat(), 'nothing to press').not.toContain(button);
        expect(await page.locator('main').innerText(), 'the page is as it was').toBe(before);
      });
    }
  }

  await test.step('as many pages of the same words, whichever screen it came from', async () => {
    for (const [name, { phone = [], laptop = [] }] of Object.entries(paper)) {
      expect(wordsOf(laptop), name).toBe(wordsOf(phone));
      expect(laptop.length, name).toBe(phone.length);
    }
  });

  await test.step('a spec is its card: lines, ways and figures on one page, no reckoning', async () => {
    for (const name of ['spec', 'spec-unpoured']) {
      const out = paper[name]?.laptop ?? [];
      expect(out, name).toHaveLength(1);
      const text = wordsOf(out);
      await page.goto(demo.origin + (pages[name] ?? ''));
      await drawn(page);
      await expect(page.getByRole('region', { name: later.spec.lines })).toBeVisible({ timeout: 60_000 });
      const lines = await page.getByRole('region', { name: later.spec.lines }).locator('ol > li').allInnerTexts();
      expect(lines.length).toBeGreaterThan(2);
      for (const line of lines) {
        for (const word of line.split(/\s+/)) expect(text, name).toContain(word);
      }
      for (const field of ['method', 'ice', 'glass', 'garnish'] as const)
        expect(text, name).toContain(later.spec.field[field] ?? field);
      for (const key of ['abv_percent', 'sugar_g_per_100ml', 'acid_percent', 'volume_ml'] as const)
        expect(text, name).toContain(words.balance.label[key]);
      for (const summary of await page.locator('summary').allInnerTexts()) expect(text, name).not.toContain(summary);
      expect(text, name).not.toContain(words.balance.beforeIce);
      expect(text, name).not.toContain(later.spec.riffs);
    }
  });

  await test.step('the journal is its days, the week its days and totals', async () => {
    await page.goto(`${demo.origin}/journal`);
    await drawn(page);
    const days = await page.getByTestId('day').locator('h2').allInnerTexts();
    expect(days.length).toBeGreaterThan(5);
    const journal = wordsOf(paper.journal?.laptop ?? []);
    for (const day of days) for (const word of day.split(/\s+/)) expect(journal).toContain(word);
    expect(wordsOf(paper.week?.laptop ?? [])).toContain(later.week.lastSeven);
  });
  await laptop.context.close();
});
