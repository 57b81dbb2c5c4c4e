import { expect, type Page } from '@playwright/test';
import { words } from '../src/app/words.ts';
import { later } from '../src/app/words/en/later.ts';
import { Device } from './device.ts';
import { Demo } from './server.ts';
import { test } from './story.ts';

let demo: Demo;
test.beforeAll(async () => {
  demo = await Demo.start();
});
test.afterAll(() => demo.remove());

test('what is being filled in stays: over a swap, over a search letter by letter, over a reload', async ({
  browser,
}) => {
  const laptop = await Device.laptop(browser, demo);
  const { page } = laptop;

  await test.step('a score, a note and a share, then another ingredient', async () => {
    await page.getByRole('link', { name: words.tonight.withSwap }).click();
    await page.getByRole('button', { name: words.sheet.scoreMore, exact: true }).click();
    const note = page.getByLabel(words.sheet.note, { exact: true });
    await note.fill('Kept.');
    await page.getByRole('radio', { name: /^citrus-led gin/ }).click();
    await expect(page.getByRole('radio', { name: /^citrus-led gin/ })).toBeChecked();
    await page.getByRole('button', { name: words.sheet.shareLess, exact: true }).click();
    await expect(page.getByRole('spinbutton', { name: words.sheet.share })).toContainText('¾');
    await expect(note).toHaveValue('Kept.');
    await expect(page.getByRole('spinbutton', { name: words.sheet.scoreLabel })).toContainText('7');
    await expect(page.getByRole('radio', { name: /^citrus-led gin/ })).toBeChecked();
  });

  await test.step('a search, typed letter by letter', async () => {
    for (const [room, text] of [
      [words.rooms.specs, 'verjus'],
      [words.rooms.journal, 'rounder'],
      [words.rooms.specs, 'quux'],
      [words.rooms.journal, 'quux'],
    ] as const) {
      await page.getByRole('link', { name: room, exact: true }).click();
      const find = page.getByRole('searchbox', { name: words.find });
      await find.click();
      await page.keyboard.type(text, { delay: 40 });
      await expect(find).toHaveValue(text);
      await expect(find).toBeFocused();
      await find.fill('');
    }
    await page.getByRole('link', { name: words.rooms.specs, exact: true }).click();
    await page.getByRole('searchbox', { name: words.find }).fill('no such thing');
    await expect(page.getByText(words.nothingFound('no such thing'))).toBeVisible();
    await page.getByRole('searchbox', { name: words.find }).fill('');
  });

  await test.step('a spec half written, over a reload and on another page', async () => {
    await page.goto(`${demo.origin}/specs/new`);
    await page.getByLabel(later.editor.drink, { exact: true }).fill('Half a thought');
    const first = page.getByLabel(later.editor.line(1), { exact: true });
    await first.fill('45 ml gin, 44 %');
    await first.press('Enter');
    await page.getByLabel(later.editor.line(2), { exact: true }).fill('22,5 ml lem');
    await expect.poll(() => draft(page)).toContain('22,5 ml lem');
    await page.reload();
    await expect(page.getByText(words.draftFound)).toBeVisible();
    await expect(page.getByLabel(later.editor.drink, { exact: true })).toHaveValue('Half a thought');
    await expect(page.getByLabel(later.editor.line(2), { exact: true })).toHaveValue('22,5 ml lem');
    await page.getByRole('button', { name: words.draftDrop }).click();
    await expect(page.getByLabel(later.editor.drink, { exact: true })).toHaveValue('');
    await expect.poll(() => draft(page)).toBeNull();
  });
  expect(await laptop.queue()).toEqual([]);
  await laptop.close();
});

/** The new spec as it lies on the disk, half filled in. */
async function draft(page: Page): Promise<string | null> {
  return page.evaluate(async () => {
    const done = <T>(request: IDBRequest<T>) =>
      new Promise<T>((resolve, reject) => {
        request.onsuccess = () => resolve(request.result);
        request.onerror = () => reject(request.error ?? new Error('IndexedDB'));
      });
    const device = await done(indexedDB.open('device'));
    const journal: string = await done(device.transaction('meta').objectStore('meta').get('open'));
    device.close();
    const db = await done(indexedDB.open(`journal.${journal}`));
    const text: string | undefined = await done(db.transaction('draft').objectStore('draft').get('spec.new'));
    db.close();
    return text ?? null;
  });
}
