import { type Browser, expect, type Locator, type Page } from '@playwright/test';
import { holdMs } from '../src/app/parts/touches.ts';
import { words } from '../src/app/words.ts';
import { later } from '../src/app/words/en/later.ts';
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

/**
 * A finger that touches a control twice, where the control is by then or, when `still`, where it was; the answer is how far
 * apart the touches lay.
 */
async function touchTwice(control: Locator, gapMs: number, still = false): Promise<number> {
  await control.scrollIntoViewIfNeeded();
  return control.evaluate(
    (it: HTMLElement, { gap, holds }) => {
      const middle = () => {
        const { x, y, width, height } = it.getBoundingClientRect();
        return { clientX: x + width / 2, clientY: y + height / 2 };
      };
      const was = middle();
      const touch = (under: Element | null, at: typeof was) => {
        const click = new MouseEvent('click', { bubbles: true, cancelable: true, detail: 1, ...at });
        under?.dispatchEvent(click);
        return click.timeStamp;
      };
      const first = touch(it, was);
      return new Promise<number>((resolve) =>
        setTimeout(() => {
          const second = holds ? touch(document.elementFromPoint(was.clientX, was.clientY), was) : touch(it, middle());
          resolve(second - first);
        }, gap),
      );
    },
    { gap: gapMs, holds: still },
  );
}

interface Look {
  text: string;
  disabled: string | null;
  height: number;
}

/** What a control looks like when the touch of it was saved; null when that took as long as it is held. */
async function heldLook(control: Locator): Promise<Look | null> {
  return control.evaluate(async (it: HTMLElement) => {
    it.click();
    for (const until = performance.now() + 1_500; performance.now() < until;) {
      await new Promise((resolve) => setTimeout(resolve, 20));
      if (it.getAttribute('aria-disabled') !== 'true') continue;
      return { text: it.textContent, disabled: it.getAttribute('aria-disabled'), height: it.offsetHeight };
    }
    return null;
  });
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
    test.setTimeout(300_000);
    const phone = await counting(browser);
    const { page } = phone;
    const saved = async () => (await phone.queue()).length;
    const held = page.getByRole('button', { name: /^Saved \d\d:\d\d$/ });

    for (const gap of [150, 600, 1_000, 1_400]) {
      // Of a machine that was held up meanwhile the touches lie further apart; then it is tried again.
      for (let apart = holdMs; apart >= holdMs;) {
        await page.goto(demo.origin + path);
        const control = find(page);
        await expect(control).toBeVisible();
        const before = await saved();
        apart = await touchTwice(control, gap, away);
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
      const height = await control.evaluate((it: HTMLElement) => it.offsetHeight);
      let look: Look | null = null;
      while (!look) {
        look = await heldLook(control); // a machine that needs over a second and a half to save shows none
        await expect(control).toBeVisible();
      }
      expect(look.text).toMatch(/^Saved \d\d:\d\d$/);
      expect(look).toEqual({ text: look.text, disabled: 'true', height }); // nothing moves under the finger

      await page.goto(demo.origin + path);
      await expect(control).toBeVisible();
      const before = await saved();
      await control.click();
      await expect.poll(saved).toBe(before + 1);
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
  const touched = performance.now();
  await again.click();
  await expect.poll(saved).toBe(1);
  await page.waitForTimeout(Math.max(0, 1_600 - (performance.now() - touched)));
  await again.click();
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
