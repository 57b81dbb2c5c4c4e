import { expect } from '@playwright/test';
import { words } from '../src/app/words.ts';
import { Demo } from './server.ts';
import { test } from './story.ts';
import { watch } from './watch.ts';

let demo: Demo;
test.beforeEach(async () => {
  demo = await Demo.start();
});
test.afterEach(() => demo.remove());

test('the first thing asked is whether one is of age; no ends kindly and keeps nothing, and a link is not lost over it', async ({
  page,
  context,
}) => {
  const said = watch(context);
  const databases = () => page.evaluate(async () => (await indexedDB.databases()).length);
  await page.goto(demo.open);
  await expect(page.getByText(words.adults.ask)).toBeVisible();
  await page.getByRole('button', { name: words.adults.no, exact: true }).click();
  await expect(page.getByRole('heading', { level: 1 })).toHaveText(words.adults.kindly);
  expect(await databases()).toBe(0);
  await page.reload();
  await expect(page.getByText(words.adults.ask)).toBeVisible();
  expect(await databases()).toBe(0);

  await page.getByRole('button', { name: words.adults.yes, exact: true }).click();
  await expect(page.getByRole('heading', { level: 1 })).toHaveText(words.rooms.tonight);
  await expect(page.getByTestId('state')).toHaveText(words.state.synced); // the link it was opened with let it in
  expect(page.url()).toBe(`${demo.origin}/`);
  await page.reload();
  await expect(page.getByRole('heading', { level: 1 })).toHaveText(words.rooms.tonight);
  expect(said).toEqual([]);
});
