import { expect, type Page } from '@playwright/test';
import { words } from '../src/app/words.ts';
import { later } from '../src/app/words/en/later.ts';
import { Device } from './device.ts';
import { faultsOf } from './screen.ts';
import { Demo } from './server.ts';
import { test } from './story.ts';

let demo: Demo;
test.beforeEach(async () => {
  demo = await Demo.start();
});
test.afterEach(() => demo.remove());

const saline = '1 dash saline';
const verjus = '1 barspoon verjus';
const names = ['Of the phone', 'Of the laptop'] as const;

test('two devices each add a line, turn the order and rename a spec apart: both have all of it afterwards', async ({
  browser,
}) => {
  test.setTimeout(240_000);
  const laptop = await Device.laptop(browser, demo);
  const phone = await Device.phone(browser, demo);
  const both = [phone, laptop] as const;

  // The bitter riff, which nobody has poured.
  await laptop.page.getByRole('link', { name: words.rooms.specs, exact: true }).first().click();
  const link = laptop.page.getByRole('link', { name: /Bitter: gentian, 5 ml/ }).first();
  const spec = (await link.getAttribute('href')) ?? '';
  await laptop.page.goto(`${demo.origin}${spec}/edit`);
  const before = await lines(laptop.page);
  expect(before.length).toBeGreaterThan(4);

  for (const device of both) {
    await device.page.goto(demo.origin);
    await device.installed();
    await device.context.setOffline(true);
  }
  await demo.stop();

  await test.step('each adds a line, moves one and renames it, without signal', async () => {
    for (const [i, { page }] of both.entries()) {
      await page.goto(`${demo.origin}${spec}/edit`);
      expect(await lines(page)).toEqual(before);
      await add(page, before.length + 1, i === 0 ? saline : verjus);
      await up(page, i === 0 ? 2 : before.length);
      await page.getByLabel(later.editor.name, { exact: true }).fill(names[i] ?? '');
      await save(page);
      expect(await both[i]?.queue()).toHaveLength(1);
    }
  });

  await demo.start(); // on the same data
  await test.step('both come back', async () => {
    for (const device of [phone, laptop, phone]) {
      await device.context.setOffline(false);
      await device.page.goto(demo.origin);
      await device.agrees();
    }
  });

  await test.step('both have both lines, both moves and both names', async () => {
    const seen = [];
    for (const { page } of both) {
      await page.goto(`${demo.origin}${spec}/edit`);
      await expect(line(page, before.length + 2)).toBeVisible();
      const now = await lines(page);
      const [first, second, ...rest] = before;
      const last = rest.splice(-2).reverse();
      expect(now.slice(0, before.length)).toEqual([second, first, ...rest, ...last]);
      expect(now.slice(before.length).sort()).toEqual([saline, verjus].sort());
      seen.push(now);
      await page.goto(demo.origin + spec.replace('/specs/', '/clash/'));
      const items = page.getByRole('main').getByRole('listitem');
      await expect(items).toHaveCount(2);
      for (const name of names) await expect(items.filter({ hasText: name })).toHaveCount(1);
    }
    expect(seen[0]).toEqual(seen[1]); // in one order
  });

  await test.step('a form that stood open meanwhile takes nothing away', async () => {
    await laptop.page.goto(`${demo.origin}${spec}/edit`);
    await expect(line(laptop.page, before.length + 2)).toBeVisible();
    await phone.page.goto(`${demo.origin}${spec}/edit`);
    await add(phone.page, before.length + 3, '3 ml rose water');
    await save(phone.page);
    await phone.agrees();
    await expect
      .poll(() => laptop.copy().then((rows) => rows.some(([, row]) => row.includes('3 ml rose water'))), {
        timeout: 30_000,
      })
      .toBe(true);
    await add(laptop.page, before.length + 3, '4 ml mint tincture');
    await save(laptop.page);
    await laptop.agrees();
    for (const { page } of both) {
      await page.goto(`${demo.origin}${spec}/edit`);
      await expect(line(page, before.length + 4)).toBeVisible({ timeout: 30_000 });
      expect(await lines(page)).toEqual(
        expect.arrayContaining([saline, verjus, '3 ml rose water', '4 ml mint tincture']),
      );
    }
  });

  expect(await faultsOf(laptop.page, 'editor-with-moves')).toEqual([]);
  for (const device of both) await device.close();
});

const line = (page: Page, n: number) => page.getByLabel(later.editor.line(n), { exact: true });

/** What stands in the form's lines, in order. */
async function lines(page: Page): Promise<string[]> {
  const fields = page.getByLabel(/^Line \d+$/);
  await expect(fields.first()).toBeVisible({ timeout: 30_000 });
  return fields.evaluateAll((all) => all.map((field) => (field as HTMLInputElement).value));
}

async function add(page: Page, n: number, typed: string): Promise<void> {
  await page.getByRole('button', { name: later.editor.addLine, exact: true }).click();
  await line(page, n).fill(typed);
}

async function up(page: Page, n: number): Promise<void> {
  const typed = await line(page, n).inputValue();
  await page.getByRole('button', { name: later.editor.moveLineUp(n), exact: true }).click();
  await expect(line(page, n - 1)).toHaveValue(typed);
}

async function save(page: Page): Promise<void> {
  await page.getByRole('button', { name: later.editor.act, exact: true }).click();
  await expect(page.getByRole('status').filter({ hasText: later.editor.saved })).toBeVisible();
}
