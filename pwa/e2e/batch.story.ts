import { expect } from '@playwright/test';
import { words } from '../src/app/words.ts';
import { later } from '../src/app/words/en/later.ts';
import { Device } from './device.ts';
import { Demo } from './server.ts';
import { test } from './story.ts';

let demo: Demo;
test.beforeEach(async () => {
  demo = await Demo.start();
});
test.afterEach(() => demo.remove());

/** "1,326 ml" of a cell as a number. */
const mlOf = (text: string): number => Number.parseFloat(text.replace(/[^\d.]/g, ''));

test('the Orchard Sour for eight: its sheet, that it was made, the bottle it filled, and undone', async ({
  browser,
}) => {
  const phone = await Device.phone(browser, demo);
  const { page } = phone;

  await test.step('from the page of its spec', async () => {
    await page.getByRole('link', { name: words.rooms.specs }).tap();
    await page
      .getByRole('link', { name: /benchmark/ })
      .first()
      .tap();
    await expect(page.getByRole('heading', { level: 1 })).toHaveText('Orchard Sour');
    await page.getByRole('link', { name: later.batch.link }).tap();
    await expect(page).toHaveURL(/\/specs\/[0-9A-Z]{26}\/batch$/);
    await expect(page.getByLabel(later.batch.glasses, { exact: true })).toHaveValue('8');
    await expect(page.getByText(/^8 glasses of/)).toBeVisible();
  });

  const sheet = page.getByRole('table', { name: later.batch.what });
  await test.step('each line is eight times a glass, and all of them are the whole', async () => {
    let sum = 0;
    for (const row of await sheet.locator('tbody tr').all()) {
      const [one = '', all = ''] = await row.getByRole('cell').allInnerTexts();
      sum += all === '' ? 0 : mlOf(all);
      if (one !== '') expect(Math.abs(mlOf(all) - 8 * mlOf(one)), all).toBeLessThanOrEqual(0.5);
    }
    const total = mlOf(await sheet.locator('tfoot td:nth-of-type(2)').innerText());
    expect(total).toBeGreaterThan(800);
    expect(Math.abs(total - sum)).toBeLessThanOrEqual(3); // each is rounded to what is shown
    await page.getByText(later.batch.freezer, { exact: true }).tap();
    await expect(page.getByText(/In a freezer of −18/)).toBeVisible();
  });

  await test.step('what was entered is there after a reload', async () => {
    await page.getByLabel(later.batch.glasses, { exact: true }).fill('6');
    await expect(page.getByText(/^6 glasses of/)).toBeVisible();
    await page.waitForTimeout(500); // the draft is written when the hand rests
    await page.reload();
    await expect(page.getByLabel(later.batch.glasses, { exact: true })).toHaveValue('6');
    await page.getByLabel(later.batch.glasses, { exact: true }).fill('8');
    await expect(page.getByText(/^8 glasses of/)).toBeVisible();
  });

  await test.step('the sheet prints without anything to press', async () => {
    await page.emulateMedia({ media: 'print' });
    await expect(sheet).toBeVisible();
    await expect(page.getByText(/^Made on _/)).toBeVisible();
    await expect(page.getByLabel(later.batch.glasses, { exact: true })).toBeHidden();
    await expect(page.getByRole('button', { name: later.making.save })).toBeHidden();
    await expect(page.locator('footer')).toBeHidden();
    const pdf = await page.pdf({ format: 'A4' });
    expect(pdf.toString('latin1').match(/\/Type\s*\/Page\b/g)).toHaveLength(1);
    await page.emulateMedia({ media: 'screen' });
  });

  const name = 'Orchard Sour for eight';
  await test.step('made: among what was made, and among the bottles', async () => {
    await page.getByLabel(later.making.name, { exact: true }).fill(name);
    await page.getByLabel(later.making.keep, { exact: true }).fill('3');
    await page.getByRole('button', { name: later.making.save }).tap();
    await expect(page.getByRole('status').filter({ hasText: later.making.saved(name) })).toBeVisible();
    await expect(page).toHaveURL(/\/making$/);
    const row = page.getByRole('listitem').filter({ has: page.getByRole('heading', { name }) });
    await expect(row).toContainText(later.making.glasses('8'));
    await expect(row).toContainText(/keep until/);
    await page.getByRole('link', { name: words.rooms.bottles }).tap();
    await expect(page.getByRole('heading', { name })).toBeVisible();
    await phone.agrees();
  });

  await test.step('deleted with its bottle, and brought back by undo', async () => {
    await page.getByRole('link', { name: later.making.title }).tap();
    await page.getByLabel(later.making.moreOf(name)).tap();
    await page.getByRole('button', { name: later.making.delete }).tap();
    await expect(page.getByRole('heading', { name })).toHaveCount(0);
    await page.getByRole('button', { name: words.undo }).tap();
    await expect(page.getByRole('heading', { name })).toBeVisible();
    await page.getByLabel(later.making.moreOf(name)).tap();
    await page.getByRole('button', { name: later.making.delete }).tap();
    await expect(page.getByRole('heading', { name })).toHaveCount(0);
    await page.getByRole('link', { name: words.rooms.bottles }).tap();
    await expect(page.getByRole('link', { name: later.making.title })).toBeVisible();
    await expect(page.getByRole('heading', { name })).toHaveCount(0);
  });
  expect(phone.said).toEqual([]);
});
