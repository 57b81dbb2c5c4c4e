import { expect, type Page } from '@playwright/test';
import { grown } from './device.ts';
import { words } from '../src/app/words.ts';
import { Demo } from './server.ts';
import { test } from './story.ts';
import { watch } from './watch.ts';

let demo: Demo;
test.beforeAll(async () => {
  demo = await Demo.start();
});
test.afterAll(() => demo.remove());

const heading = (page: Page) => page.getByRole('heading', { level: 1 });

test('the printed link opens the app admitted, the code admits a second browser, each once', async ({ browser }) => {
  const laptop = await browser.newContext({ viewport: { width: 1280, height: 800 } });
  await grown(laptop);
  const said = watch(laptop);
  const page = await laptop.newPage();
  await page.goto(demo.open);
  await expect(heading(page)).toHaveText(words.rooms.tonight);
  await expect(page.getByTestId('state')).toHaveText(words.state.synced);
  expect(page.url()).toBe(`${demo.origin}/`);
  await page.goBack().catch(() => null); // the code is in no history
  expect(page.url()).not.toContain('code');

  const phone = await browser.newContext();
  await grown(phone);
  const saidToo = watch(phone);
  const other = await phone.newPage();
  await other.goto(`${demo.origin}/pair`);
  await other.getByLabel(words.pair.code).fill(demo.phone.toLowerCase().replaceAll('-', ' '));
  await other.getByRole('button', { name: words.pair.act }).click();
  await expect(heading(other)).toHaveText(words.rooms.tonight);
  await expect(other.getByTestId('state')).toHaveText(words.state.synced);
  expect([...said, ...saidToo]).toEqual([]);

  const third = await browser.newContext();
  await grown(third);
  const late = await third.newPage();
  await late.goto(`${demo.origin}/pair#code=${demo.phone}`);
  await expect(late.getByRole('alert')).toHaveText(words.pair.refused('code_unknown'));
  await Promise.all([laptop.close(), phone.close(), third.close()]);
});
