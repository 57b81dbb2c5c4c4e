import { readFile } from 'node:fs/promises';
import { expect } from '@playwright/test';
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

/** The size of a PNG as its header has it. */
function sizeOf(png: Buffer): [width: number, height: number] {
  expect(png.subarray(0, 8)).toEqual(Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]));
  return [png.readUInt32BE(16), png.readUInt32BE(20)];
}

test('what the scores of twelve pairings say: read, taken along without signal, the benchmark declared again', async ({
  browser,
}) => {
  const phone = await Device.phone(browser, demo);
  const { page, context } = phone;

  await test.step('from the list to its results', async () => {
    await page.goto(`${demo.origin}/side`);
    await page
      .getByRole('link', { name: /12 pairings/ })
      .first()
      .tap();
    await expect(page.getByRole('heading', { name: later.compared.says })).toBeVisible();
  });

  await test.step('nothing is cut off or too faint', async () => {
    expect(await faultsOf(page, 'compared')).toEqual([]);
  });

  const grid = page.getByRole('region', { name: later.compared.every });
  const ranking = page.getByRole('listitem').filter({ has: page.getByText(later.compared.never) });
  await test.step('each cell says whether it was tasted, and as many are predicted as in the ranking', async () => {
    await expect(grid.getByRole('row')).toHaveCount(8);
    await expect(grid.getByRole('cell')).toHaveCount(12);
    const cells = await grid.getByRole('cell').allInnerTexts();
    const predicted = cells.filter((text) => text.includes(later.compared.state.predicted));
    expect(predicted.length).toBeGreaterThan(0);
    await expect(ranking).toHaveCount(predicted.length);
    expect(cells.filter((text) => /\d tastings?/.test(text))).toHaveLength(12 - predicted.length);
    expect(cells.filter((text) => text.includes(words.specs.benchmark))).toHaveLength(1);
  });

  await test.step('a header stands above its column', async () => {
    const left = async (of: string) =>
      grid.locator(of).evaluateAll((all) => all.map((it) => Math.round(it.getBoundingClientRect().left)));
    expect(await left('thead tr:last-child th')).toEqual(await left('tbody tr:first-child td'));
  });

  await phone.installed();
  await context.setOffline(true);
  await page.reload();

  await test.step('the table, of the figures on the screen', async () => {
    const [download] = await Promise.all([
      page.waitForEvent('download'),
      page.getByRole('link', { name: later.compared.csv }).tap(),
    ]);
    expect(download.suggestedFilename()).toMatch(/^fair-measure-[\p{L}\p{N}-]+-\d{4}-\d\d-\d\d\.csv$/u);
    const [head, ...rows] = (await readFile(await download.path(), 'utf8')).trimEnd().split('\r\n');
    expect(head).toContain('pairing,benchmark,tasted');
    expect(rows).toHaveLength(12);
  });

  await test.step('the picture', async () => {
    await page.getByRole('button', { name: later.compared.picture }).tap();
    const [download] = await Promise.all([
      page.waitForEvent('download'),
      page.getByRole('link', { name: /^Save fair-measure-.*\.png$/ }).tap(),
    ]);
    const [width, height] = sizeOf(await readFile(await download.path()));
    expect(width).toBeGreaterThan(1000);
    expect(height).toBeGreaterThan(1000);
  });

  await test.step('the benchmark is worth something else now, and not after all; scores stay as they are', async () => {
    const scores = () => page.getByTestId('scores').allInnerTexts();
    const raw = async () => (await scores()).map((text) => text.split(', on ')[0]);
    const before = await raw();
    const summary = page.locator('#worth > summary');
    const was = await summary.innerText();
    await summary.tap();
    const worth = page.getByRole('spinbutton', { name: later.compared.worthLabel });
    await worth.press('End');
    await expect(page.getByText(later.compared.anchorTop('10', true))).toBeVisible();
    for (let i = 0; i < 5; i++) await worth.press('ArrowDown');
    await page.getByRole('button', { name: later.compared.memory }).tap();
    await page.getByRole('button', { name: later.compared.anchorSave('7½') }).tap();
    await expect(summary).toHaveText(later.compared.anchor('7½'));
    expect(await raw()).toEqual(before);
    await page.getByRole('button', { name: words.undo, exact: true }).tap();
    await expect(summary).toHaveText(was);
    await summary.tap();
    await page.getByRole('button', { name: later.compared.takeBack }).tap();
    await expect(summary).not.toHaveText(was);
    await page.getByRole('button', { name: words.undo, exact: true }).tap();
    await expect(summary).toHaveText(was);
    expect(await raw()).toEqual(before);
  });

  await context.setOffline(false);
  await phone.agrees();
  await phone.close();
});
