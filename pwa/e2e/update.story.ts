import { expect } from '@playwright/test';
import { words } from '../src/app/words.ts';
import { grown } from './device.ts';
import { StaticApp } from './static.ts';
import { test } from './story.ts';
import { watch } from './watch.ts';

let app: StaticApp;
test.beforeEach(({ context }) => grown(context));
test.beforeEach(async () => {
  app = await StaticApp.start(18_472);
});
test.afterEach(() => app.remove());

test('the app starts, and opens a deep link, when no server is there', async ({ page, context }) => {
  const said = watch(context);
  await page.goto(`${app.origin}/specs`);
  await expect(page.getByRole('heading', { level: 1 })).toHaveText(words.rooms.specs);
  await page.evaluate(() => navigator.serviceWorker.ready.then(() => true));
  await app.stop();
  await page.goto(`${app.origin}/week`);
  await expect(page.getByRole('heading', { level: 1 })).toHaveText(words.rooms.week);
  await page.getByRole('link', { name: words.rooms.specs }).click();
  await expect(page).toHaveURL(`${app.origin}/specs`);
  await page.reload();
  await expect(page.getByRole('heading', { level: 1 })).toHaveText(words.rooms.specs);
  expect(said).toEqual([]);
});

test('a new version waits until the person takes it, and costs no second download of what stayed the same', async ({
  page,
}) => {
  const mark = () =>
    page
      .locator('meta[name="mark"]')
      .getAttribute('content', { timeout: 200 })
      .catch(() => null);
  await page.goto(`${app.origin}/specs`);
  await page.evaluate(() => navigator.serviceWorker.ready.then(() => true));
  await page.reload(); // the very first page load is not controlled yet
  await expect(page.getByRole('heading', { level: 1 })).toHaveText(words.rooms.specs);
  const downloads = () => app.asked.filter((path) => path.endsWith('.wasm')).length;
  const before = downloads();

  await app.release('second');
  await page.evaluate(async () => void (await (await navigator.serviceWorker.ready).update()));
  await expect(page.getByText(words.update.here)).toBeVisible();
  expect(await mark()).toBeNull();
  await page.goto(`${app.origin}/week`); // still the old one, and the offer still stands
  await expect(page.getByText(words.update.here)).toBeVisible();
  expect(await mark()).toBeNull();

  await page.getByRole('button', { name: words.update.take }).click();
  await expect.poll(mark).toBe('second');
  await expect(page.getByText(words.update.here)).toBeHidden();
  expect(downloads()).toBe(before);
  expect(await page.evaluate(() => caches.keys())).toEqual(['app-second']);
});
