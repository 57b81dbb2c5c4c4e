import { expect, type Locator, type Page } from '@playwright/test';
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

/** Kept short, so that a name stays on one line of a phone. */
const honey = '½ oz honey syrup 2:1';
const noteBefore = 'Second look: steadier than I thought.';
const noteAfter = 'Steadier still. The pear comes late.';

test('two devices change one spec and one pour apart: every edit is kept, each clash is shown on both until one chooses', async ({
  browser,
}) => {
  const laptop = await Device.laptop(browser, demo);
  const phone = await Device.phone(browser, demo);
  const both = [phone, laptop] as const;
  const names = [words.pair.names.phone, words.pair.names.laptop] as const;

  // P is the bitter riff, which nobody has poured; Q the last scored pour of an earlier evening.
  const [p, q] = await test.step('both hold P and Q', async () => {
    const found = [];
    for (const { page } of both) {
      await open(page, words.rooms.specs);
      const spec = await page
        .getByRole('link', { name: /Bitter: gentian, 5 ml/ })
        .first()
        .getAttribute('href');
      await open(page, words.rooms.journal);
      const pour = page.getByRole('listitem').filter({ hasText: noteBefore }).getByRole('link').first();
      found.push([spec ?? '', (await pour.getAttribute('href')) ?? '']);
    }
    expect(found[0]).toEqual(found[1]);
    return found[0] as [string, string];
  });
  await phone.installed();
  // The browser's own word for no signal lets a worker's request through now and then, so there is no server to reach either.
  await phone.context.setOffline(true);
  await demo.stop();

  await test.step('the phone, without signal, changes the honey of P, the score of Q and its note', async () => {
    const { page } = phone;
    await page.goto(demo.origin + p);
    await retype(page, honey, '20 ml honey syrup 2:1');
    await page.goto(demo.origin + q);
    await score(page, words.sheet.scoreMore, '8');
    await page.getByLabel(words.sheet.note, { exact: true }).fill(noteAfter);
    await page.getByRole('button', { name: later.pour.noteSave }).tap();
    await expect(page.getByRole('status').filter({ hasText: later.pour.noteSaved })).toBeVisible();
    expect(await phone.queue()).toHaveLength(3);
    await page.goto('about:blank'); // put away
  });

  await demo.start(); // on the same data
  await test.step('the laptop, online, changes the honey of P, its garnish, and the score of Q', async () => {
    const { page } = laptop;
    await page.goto(demo.origin + p);
    await retype(page, honey, '¼ oz honey syrup 2:1');
    await page.getByRole('button', { name: later.spec.changeField('Garnish', 'bay leaf') }).click();
    await page.getByLabel(later.spec.field.garnish ?? '', { exact: true }).fill('pear slice');
    await page.getByRole('button', { name: words.save, exact: true }).click();
    await expect(page.getByRole('status').filter({ hasText: later.spec.fieldSaved('Garnish') })).toBeVisible();
    await page.goto(demo.origin + q);
    await score(page, words.sheet.scoreLess, '7');
    await laptop.agrees();
    expect(await laptop.queue()).toEqual([]);
  });

  await test.step('the phone returns', async () => {
    await phone.context.setOffline(false);
    await phone.page.goto(demo.origin);
    await phone.agrees();
    expect(await phone.queue()).toEqual([]);
  });

  await test.step('both show the same journal: all edits, and both values of each clash with their devices', async () => {
    for (const { page } of both) {
      await page.goto(demo.origin + p);
      await expect(page.getByRole('button', { name: later.spec.changeField('Garnish', 'pear slice') })).toBeVisible();
      await expect(page.getByText(/^Two values for honey syrup/)).toBeVisible();
      await page.goto(demo.origin + q);
      await expect(page.getByLabel(words.sheet.note, { exact: true })).toHaveValue(noteAfter);
      await expect(page.getByText(later.pour.clash(1))).toBeVisible();
    }
    expect(await phone.copy()).toEqual(await laptop.copy());

    for (const at of [p, q]) {
      const values = at === p ? ['20 ml honey syrup', '¼ oz honey syrup'] : ['8', '7'];
      const lists = [];
      for (const { page } of both) {
        await page.goto(demo.origin + at);
        await page.getByRole('link', { name: later.pour.choose }).click();
        await expect(page.getByRole('heading', { level: 1 })).toHaveText(later.clash.title);
        const items = page.getByRole('main').getByRole('listitem');
        await expect(items).toHaveCount(2);
        for (const [i, value] of values.entries()) {
          const item = items.filter({ has: page.getByText(new RegExp(`^${value}( |$)`)) });
          await expect(item).toContainText(page === both[i]?.page ? later.clash.thisDevice : (names[i] ?? ''));
        }
        await expect(items.filter({ hasText: later.clash.shown })).toHaveCount(1);
        const own = names[both.findIndex((device) => device.page === page)] ?? '';
        lists.push((await items.allInnerTexts()).map((text) => text.replace(later.clash.thisDevice, own)));
      }
      expect(lists[0]).toEqual(lists[1]); // also the same one shows
    }
    for (const { page } of both) {
      await page.goto(`${demo.origin}/keeper`);
      await expect(page.locator('main a[href^="/clash/"]')).toHaveCount(3); // the demo brings one of its own
    }
  });

  await test.step('the pages with two values: no fault for axe, nothing beyond the edge at any size', async () => {
    const { page } = laptop;
    const faults: string[] = [];
    for (const [name, path] of Object.entries({
      'two-values-spec': p,
      'two-values-line': p.replace('/specs/', '/clash/'),
      'two-values-score': q.replace('/journal/', '/clash/'),
    })) {
      await page.goto(demo.origin + path);
      faults.push(...(await faultsOf(page, name)));
    }
    expect(faults).toEqual([]);
  });

  await test.step('the laptop chooses the honey, the phone the score: nothing is left to choose on either', async () => {
    await laptop.page.goto(demo.origin + p);
    await phone.page.goto(demo.origin + p);
    await laptop.page.getByRole('link', { name: later.pour.choose }).click();
    await choose(laptop.page, /^Choose 20 ml honey syrup/);
    // The phone has the spec open, and hears of it by itself.
    await expect(phone.page.getByText(/^Two values for/)).toBeHidden({ timeout: 30_000 });
    await expect(phone.page.getByRole('button', { name: /^Change 20 ml honey syrup/ })).toBeVisible();

    await laptop.page.goto(demo.origin + q);
    await phone.page.goto(demo.origin + q);
    await phone.page.getByRole('link', { name: later.pour.choose }).tap();
    await choose(phone.page, later.clash.chooseLabel('7'));
    await expect(laptop.page.getByText(later.pour.clash(1))).toBeHidden({ timeout: 30_000 });
    await expect(scoreOf(laptop.page)).toHaveAttribute('aria-valuenow', '70');

    for (const { page } of both) {
      await page.goto(`${demo.origin}/keeper`);
      await expect(page.locator('main a[href^="/clash/"]')).toHaveCount(1);
      await page.goto(demo.origin + p);
      await expect(page.getByRole('button', { name: /^Change 20 ml honey syrup/ })).toBeVisible();
      await expect(page.getByText(/^Two values for/)).toBeHidden();
    }
    for (const device of both) await device.agrees();
    expect(await phone.copy()).toEqual(await laptop.copy());
  });
  for (const device of both) await device.close();
});

async function open(page: Page, room: string): Promise<void> {
  await page.getByRole('link', { name: room, exact: true }).first().click();
  await expect(page.getByRole('heading', { level: 1 })).toBeVisible();
}

/** A line of a spec, typed anew where it stands. */
async function retype(page: Page, line: string, typed: string): Promise<void> {
  await page.getByRole('button', { name: words.spec.changeLine(line) }).click();
  await page.getByLabel(later.spec.lineLabel).fill(typed);
  await page.getByRole('button', { name: words.save, exact: true }).click();
  await expect(page.getByRole('status').filter({ hasText: later.spec.lineSaved })).toBeVisible();
}

const scoreOf = (page: Page): Locator => page.getByRole('spinbutton', { name: words.sheet.scoreLabel });

async function score(page: Page, step: string, to: string): Promise<void> {
  await page.getByRole('button', { name: step, exact: true }).click();
  await expect(scoreOf(page)).toContainText(to);
  await expect(page.getByRole('status').filter({ hasText: later.pour.scoreSaved })).toBeVisible();
}

async function choose(page: Page, named: string | RegExp): Promise<void> {
  await page.getByRole('button', { name: named }).click();
  await expect(page.getByRole('status').filter({ hasText: later.clash.chosen })).toBeVisible();
}
