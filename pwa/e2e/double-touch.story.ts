import { type Browser, expect, type Locator, type Page } from '@playwright/test';
import { holdMs } from '../src/app/parts/touches.ts';
import { words } from '../src/app/words.ts';
import { later } from '../src/app/words-later.ts';
import { Device, phoneShape, setOf } from './device.ts';
import { Demo } from './server.ts';
import { test } from './story.ts';

let demo: Demo;
test.beforeEach(async () => {
  demo = await Demo.start();
});
test.afterEach(() => demo.remove());

/** A phone whose saves stay in its queue, where they can be counted. */
async function counting(browser: Browser): Promise<Device> {
  const phone = await Device.fresh(browser, phoneShape);
  await phone.page.goto(demo.open);
  await expect(phone.page.getByTestId('state')).toHaveText(words.state.synced, { timeout: 90_000 });
  await phone.installed();
  await phone.context.setOffline(true);
  await phone.page.goto(demo.origin);
  await expect(phone.page.getByTestId('evening')).toBeVisible();
  return phone;
}

/** A finger that touches the middle of a control twice, whatever is there the second time; the answer is how far apart. */
async function touchTwice(control: Locator, gapMs: number): Promise<number> {
  await control.scrollIntoViewIfNeeded();
  const box = await control.boundingBox();
  if (!box) throw new Error('nothing to touch');
  return control.page().evaluate(
    ({ x, y, gapMs: gap }) => {
      const touch = () => {
        const click = new MouseEvent('click', { bubbles: true, cancelable: true, detail: 1, clientX: x, clientY: y });
        document.elementFromPoint(x, y)?.dispatchEvent(click);
        return click.timeStamp;
      };
      const first = touch();
      return new Promise<number>((resolve) => setTimeout(() => resolve(touch() - first), gap));
    },
    { x: box.x + box.width / 2, y: box.y + box.height / 2, gapMs },
  );
}

interface Control {
  of: string;
  path: string;
  find: (page: Page) => Locator;
  /** It leads away, so the second touch meets what stands there on the next page. */
  away?: true;
}

const beer = /bottle of beer.*330 ml, 5 %/i;
const controls: Control[] = [
  { of: 'same again', path: '/', find: (page) => page.getByRole('button', { name: words.tonight.same }) },
  { of: 'water', path: '/', find: (page) => page.getByRole('button', { name: words.tonight.addWater }) },
  { of: 'a plain drink', path: '/', find: (page) => page.getByRole('button', { name: beer }) },
  {
    of: 'a plain drink to choose',
    path: '/pour',
    find: (page) => page.getByRole('button', { name: beer }),
    away: true,
  },
  {
    of: 'a guess',
    path: '/pour/guess',
    find: (page) => page.getByRole('button', { name: /^stirred, served without ice/ }),
    away: true,
  },
];

for (const { of, path, find, away } of controls) {
  test(`${of}: touched twice within a second and a half it saves once, later twice`, async ({ browser }) => {
    test.setTimeout(180_000);
    const phone = await counting(browser);
    const { page } = phone;
    const saved = async () => (await phone.queue()).length;
    const held = page.getByRole('button', { name: /^Saved 22:\d\d$/ });

    for (const gap of [150, 600, 1_000, 1_400]) {
      // Of a machine that was held up meanwhile the touches lie further apart; then it is tried again.
      for (let apart = holdMs; apart >= holdMs;) {
        await page.goto(demo.origin + path);
        const control = find(page);
        await expect(control).toBeVisible();
        const before = await saved();
        apart = await touchTwice(control, gap);
        if (apart >= holdMs) continue;
        await expect.poll(saved).toBe(before + 1);
        await expect(page.getByRole('status').filter({ hasText: 'Saved' })).toBeVisible();
        await expect(held).toHaveCount(0); // and the control is back
        expect(await saved(), `${gap} ms apart`).toBe(before + 1);
      }
    }
    if (!away) {
      await page.goto(demo.origin + path);
      const control = find(page);
      await expect(control).toBeVisible();
      const before = await saved();
      const size = await control.boundingBox();
      await control.click();
      await expect(held).toHaveAttribute('aria-disabled', 'true');
      const box = await held.boundingBox();
      expect(box?.height).toBe(size?.height); // nothing moves under the finger
      await expect(control).toBeVisible();
      await control.click();
      await expect.poll(saved).toBe(before + 2);

      // Undo takes both back, and a second touch of it nothing more.
      const undo = page.getByRole('button', { name: words.undoes(2), exact: true });
      await touchTwice(undo, 600);
      await expect(page.getByText(words.undone(2))).toBeVisible();
      expect(await saved()).toBe(before + 3);
      const [first, second, back] = (await phone.queue()).slice(-3);
      const ids = back?.edits.map(({ id }) => id) ?? [];
      for (const action of [first, second]) expect(ids).toContain(action?.edits.find(({ id }) => ids.includes(id))?.id);
      expect(ids).toHaveLength(2);
    }
    await phone.close();
  });
}

test('two touches 1.6 s apart save two, and a key held down saves one', async ({ browser }) => {
  const phone = await counting(browser);
  const { page } = phone;
  const saved = async () => (await phone.queue()).length;
  const again = page.getByRole('button', { name: words.tonight.same });
  await touchTwice(again, 1_600);
  await expect.poll(saved).toBe(2);
  await expect(again).toBeVisible();
  await again.focus();
  for (let i = 0; i < 20; i++) {
    await page.keyboard.down('Enter'); // from the second on it repeats
    await page.waitForTimeout(100);
  }
  await page.keyboard.up('Enter');
  await expect.poll(saved).toBe(3);
  await phone.close();
});

test('a pour poured again, deleted or moved: one touch each, however wet', async ({ browser }) => {
  const phone = await counting(browser);
  const { page } = phone;
  const saved = async () => (await phone.queue()).length;
  await page.getByTestId('evening').getByRole('link').first().click();
  const again = page.getByRole('button', { name: later.pour.again, exact: true });
  await expect(again).toBeVisible();
  expect(await touchTwice(again, 300)).toBeLessThan(holdMs);
  await expect.poll(saved).toBe(1);
  await expect(again).toBeVisible();
  expect(await touchTwice(page.getByRole('button', { name: later.pour.delete, exact: true }), 300)).toBeLessThan(
    holdMs,
  );
  await expect(page.getByText(/deleted/i).first()).toBeVisible();
  expect(await saved()).toBe(2);
  expect(setOf((await phone.queue())[0], 'pour')).toBeTruthy();
  await phone.close();
});
