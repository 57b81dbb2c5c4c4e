import { expect, type Locator } from '@playwright/test';
import { words } from '../src/app/words.ts';
import { Device } from './device.ts';
import { drawn } from './screen.ts';
import { Demo } from './server.ts';
import { test } from './story.ts';

let demo: Demo;
test.beforeAll(async () => {
  demo = await Demo.start();
});
test.afterAll(() => demo.remove());

const phone = { width: 390, height: 844 };
const laptop = { width: 1280, height: 800 };
/** What stands where: edges in px of the window. */
const box = async (of: Locator) => {
  const { x, y, width, height } = (await of.boundingBox()) ?? { x: -1, y: -1, width: 0, height: 0 };
  return { left: x, top: y, right: x + width, bottom: y + height };
};

test('only what is read is scrolled: by hand, by key, and back to where it was left', async ({ browser }) => {
  const device = await Device.laptop(browser, demo);
  const { page } = device;
  const main = page.locator('main');
  const foot = page.getByRole('contentinfo');
  const scrolled = () => main.evaluate((it) => it.scrollTop);
  const windowScrolls = () => page.evaluate(() => document.documentElement.scrollHeight > innerHeight);

  await page.setViewportSize(phone);
  await page.getByRole('link', { name: words.rooms.journal, exact: true }).first().click();
  await drawn(page);
  expect(await windowScrolls()).toBe(false);
  expect((await box(main)).bottom).toBeLessThanOrEqual((await box(foot)).top);
  expect((await box(foot)).bottom).toBe(phone.height);

  await test.step('the keys that scroll act on it at once', async () => {
    await expect(page.getByRole('heading', { level: 1 })).toBeFocused();
    await page.keyboard.press('PageDown');
    await expect.poll(scrolled).toBeGreaterThan(100);
    await page.keyboard.press('Home');
    await expect.poll(scrolled).toBe(0);
  });

  await test.step('a page begins at its start, and the way back leads to where it was left', async () => {
    await main.evaluate((it) => (it.scrollTop = 600));
    const left = await scrolled();
    expect(left).toBeGreaterThan(300);
    await page.evaluate(() => document.querySelectorAll<HTMLElement>('main a[href^="/journal/"]')[5]?.click());
    await page.waitForURL(/\/journal\/\w+/);
    await drawn(page);
    expect(await scrolled()).toBe(0);
    await page.goBack();
    await drawn(page);
    await expect.poll(scrolled).toBe(left);
  });

  await test.step('in a low window, or with large text in it, the page is scrolled whole', async () => {
    for (const how of ['low', 'large'] as const) {
      await page.setViewportSize(how === 'low' ? { width: 800, height: 400 } : phone);
      await page.evaluate((size) => (document.documentElement.style.fontSize = size), how === 'low' ? '' : '32px');
      await main.evaluate((it) => it.parentElement?.scrollTo(0, 0));
      expect(await windowScrolls(), how).toBe(false);
      const height = page.viewportSize()?.height ?? 0;
      expect((await box(foot)).top, how).toBeGreaterThan(height);
      await page.getByRole('heading', { level: 1 }).focus();
      await page.keyboard.press('End');
      await expect.poll(async () => (await box(foot)).bottom, how).toBeLessThanOrEqual(height + 1);
      expect((await box(page.getByRole('heading', { level: 1 }))).bottom, how).toBeLessThan(0);
    }
    await page.evaluate(() => (document.documentElement.style.fontSize = ''));
  });
  await device.close();
});

test('the act stands below what is read on a phone, and in the head at the right on a laptop', async ({ browser }) => {
  const device = await Device.phone(browser, demo);
  const { page } = device;
  const places = new Set<string>();
  const act = page.getByTestId('act');
  for (const path of ['/', '/specs', '/bottles', '/specs/new']) {
    await page.setViewportSize(laptop);
    await page.goto(demo.origin + path);
    await drawn(page);
    const at = await box(act);
    const [head, main] = [await box(page.getByRole('banner')), await box(page.locator('main'))];
    expect(at.bottom, path).toBeLessThanOrEqual(main.top);
    expect(at.left, path).toBeGreaterThanOrEqual(head.right);
    places.add(JSON.stringify(at));
    await page.setViewportSize(phone);
    await drawn(page);
    const low = await box(act);
    expect(low.top, path).toBeGreaterThanOrEqual((await box(page.locator('main'))).bottom);
    expect(low.right - low.left, path).toBe(phone.width);
  }
  expect(places.size, 'the same place in every room').toBe(1);
  await device.close();
});
