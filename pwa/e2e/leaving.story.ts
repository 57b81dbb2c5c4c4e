import { readFile } from 'node:fs/promises';
import { expect, type Page } from '@playwright/test';
import { words } from '../src/app/words.ts';
import { later } from '../src/app/words/en/later.ts';
import { type Action, Device, setOf } from './device.ts';
import { faultsOf } from './screen.ts';
import { Demo } from './server.ts';
import { test } from './story.ts';

let demo: Demo;
test.beforeEach(async () => {
  demo = await Demo.start();
});
test.afterEach(() => demo.remove());

test('a device that was removed while it was offline exports everything, the unsent pour too', async ({ browser }) => {
  const laptop = await Device.laptop(browser, demo);
  const phone = await Device.phone(browser, demo);
  const { page } = phone;
  await phone.installed();
  await phone.context.setOffline(true);
  await page.getByRole('button', { name: words.tonight.same }).tap();
  await expect(page.getByText(words.tonight.poured('Orchard Sour'))).toBeVisible();
  const [unsent] = await phone.queue();
  const pour = setOf(unsent, 'pour');

  await test.step('the laptop removes it', async () => {
    await laptop.page.goto(`${demo.origin}/keeper`);
    const name = words.pair.names.phone;
    await laptop.page.getByRole('button', { name: later.keeper.removeLabel(name) }).click();
    await laptop.page.getByRole('button', { name: later.keeper.removeYes, exact: true }).click();
    await expect(laptop.page.getByText(later.keeper.ended('revoked'), { exact: true })).toBeVisible();
  });

  await test.step('back in signal the phone learns of it, and its notice leads to the export', async () => {
    await phone.context.setOffline(false);
    await expect(page.getByText(words.stopped('revoked').what)).toBeVisible();
    await phone.context.setOffline(true);
    await page.getByRole('main').getByRole('link', { name: words.exporting.title, exact: true }).tap();
    await expect(page.getByRole('heading', { level: 1 })).toHaveText(words.exporting.title);
  });

  const file = await exported(page);
  expect(file.name).toMatch(/^fair-measure-\d{4}-\d\d-\d\d\.json$/);
  expect(file.json.format).toBe('fairmeasure/1');
  expect(file.json.queue).toEqual(await phone.queue());
  expect(setOf(file.json.queue[0], 'pour')).toEqual(pour);
  const kinds = new Set(file.json.entities.map((it) => it.kind));
  for (const kind of ['drink', 'spec', 'line', 'pour', 'bottle']) expect(kinds).toContain(kind);
  expect(file.json.entities).toHaveLength(await copied(page));
  expect(await faultsOf(page, 'export-stopped')).toEqual([]);

  expect(phone.said.filter((it) => !/status of 40[13]/.test(it))).toEqual([]); // the browser reports the refusal itself
  await phone.context.close();
  await laptop.close();
});

test('signing out keeps what is here, or leaves nothing', async ({ browser }) => {
  const phone = await Device.phone(browser, demo);
  const { page } = phone;
  await phone.installed();

  await test.step('kept: it reads and writes on, and sends nothing', async () => {
    await page.goto(`${demo.origin}/keeper`);
    await page.getByRole('button', { name: later.leaving.keep, exact: true }).tap();
    await page.getByRole('button', { name: later.leaving.keepYes, exact: true }).tap();
    await expect(page.getByText(words.stopped('signed_out').what).first()).toBeVisible();
    const account = page.getByText(later.leaving.out('', 'told').replace(/ \.$/, ''));
    await expect(account).toBeVisible();
    await page.getByRole('link', { name: words.rooms.tonight }).first().tap();
    await page.getByRole('button', { name: words.tonight.same }).tap();
    await expect(page.getByText(words.tonight.poured('Orchard Sour'))).toBeVisible();
    await page.reload();
    await expect(page.getByText(words.stopped('signed_out').what)).toBeVisible();
    expect(await phone.queue()).toHaveLength(1);
  });

  await test.step('erased: it says what would be gone, and then no database is left', async () => {
    await page.goto(`${demo.origin}/keeper`);
    await expect(page.getByText(later.leaving.unsent(1))).toBeVisible();
    expect(await faultsOf(page, 'keeper-signed-out')).toEqual([]);
    await page.getByRole('button', { name: later.leaving.eraseOut, exact: true }).click();
    await expect(page.getByText(later.leaving.eraseSure(1))).toBeVisible();
    await page.getByRole('button', { name: later.leaving.eraseYes, exact: true }).click();
    await expect(page.getByText(words.leaving.erasedText)).toBeVisible();
    expect(await databases(page)).toEqual([]);
    expect(await faultsOf(page, 'erased')).toEqual([]);
    await page.getByRole('link', { name: words.leaving.again }).click();
    await expect(page.getByRole('link', { name: words.first.pair })).toBeVisible(); // a new, empty journal
  });
  await phone.close();
});

test('without signal a sign-out holds here at once, and the server is told when it answers', async ({ browser }) => {
  const laptop = await Device.laptop(browser, demo);
  const phone = await Device.phone(browser, demo);
  const { page } = phone;
  await phone.installed();
  await page.goto(`${demo.origin}/keeper`);
  await phone.context.setOffline(true);
  await page.getByRole('button', { name: later.leaving.keep, exact: true }).tap();
  await page.getByRole('button', { name: later.leaving.keepYes, exact: true }).tap();
  const untold = page.getByText(/The server did not answer, so it does not know yet/);
  await expect(untold).toBeVisible();
  await expect(page.getByText(words.stopped('signed_out').what).first()).toBeVisible();

  await phone.context.setOffline(false);
  await expect(untold).toBeHidden();
  await laptop.page.goto(`${demo.origin}/keeper`);
  await expect(laptop.page.getByText(later.keeper.ended('signed_out'), { exact: true })).toBeVisible();

  // With a second window open, erasing in one leaves neither with anything.
  const second = await phone.context.newPage();
  await second.goto(`${demo.origin}/keeper`);
  await page.getByRole('button', { name: later.leaving.eraseOut, exact: true }).tap();
  await page.getByRole('button', { name: later.leaving.eraseYes, exact: true }).tap();
  for (const it of [page, second]) await expect(it.getByText(words.leaving.erasedText)).toBeVisible();
  expect(await databases(page)).toEqual([]);
  await phone.close();
  await laptop.close();
});

interface Exported {
  format: string;
  queue: Action[];
  entities: { id: string; kind: string }[];
}

/** Makes the file and takes the link that saves it. */
async function exported(page: Page): Promise<{ name: string; json: Exported }> {
  await page.getByRole('button', { name: later.exporting.make }).tap();
  const link = page.getByRole('link', { name: /^Save fair-measure-[-\d]+\.json/ });
  const [download] = await Promise.all([page.waitForEvent('download'), link.tap()]);
  return { name: download.suggestedFilename(), json: JSON.parse(await readFile(await download.path(), 'utf8')) };
}

/** How many things lie in the copy of the open journal. */
async function copied(page: Page): Promise<number> {
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
    const n = await done(db.transaction('copy').objectStore('copy').count());
    db.close();
    return n;
  });
}

async function databases(page: Page): Promise<(string | undefined)[]> {
  return page.evaluate(async () => (await indexedDB.databases()).map(({ name }) => name));
}
