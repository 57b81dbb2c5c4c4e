import { expect, type Page } from '@playwright/test';
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
test.describe.configure({ timeout: 120_000 });

const act = (page: Page) => page.getByTestId('act');
const gins = [/^soft floral/, /^citrus-led/, /^coastal/, /^cask-rested gin/];
const named = /\bgin\b|eau-de-vie/i;

/** What the page says of every pairing: name, verdict, counts, scores, interval. */
async function ranking(page: Page): Promise<string[]> {
  await expect(page.getByRole('heading', { name: later.compared.says })).toBeVisible();
  const rows = await page
    .getByRole('listitem')
    .filter({ has: page.getByTestId('rank') })
    .allInnerTexts();
  return rows.map((text) => text.replaceAll(/\s+/g, ' '));
}

test('six by two at the bar without signal, from setting up to the result, and the same on the laptop', async ({
  browser,
}) => {
  const phone = await Device.phone(browser, demo);
  const { page } = phone;
  await phone.installed();
  // The demo's evening is over the usual limit already.
  await page.goto(`${demo.origin}/keeper/settings`);
  await page.getByLabel(later.keeper.ownDay).fill('12');
  await page.getByLabel(later.keeper.ownDay).press('Enter');
  await page.getByRole('button', { name: later.keeper.ownSure }).tap();
  await expect(page.locator('footer [role=status]')).toContainText(later.keeper.set);
  await phone.agrees();
  await phone.context.setOffline(true);

  const side = await test.step('set up: six gins, two pear spirits, the benchmark worth 9', async () => {
    await page.goto(`${demo.origin}/side/new`);
    for (const it of [/juniper-heavy gin/, /oz clear pear eau-de-vie/, ...gins, /cask-rested pear/])
      await page.getByRole('checkbox', { name: it }).last().check();
    await page.getByLabel(later.comparing.names('juniper-heavy gin')).fill('old-style sweet gin');
    await page.getByLabel(later.comparing.name, { exact: true }).fill('Six by two');
    const worth = page.getByRole('spinbutton', { name: later.comparing.worthLabel });
    for (let i = 0; i < 5; i++) await worth.press('ArrowUp');
    await page.getByRole('button', { name: later.comparing.saveCount(12) }).tap();
    await page.waitForURL(/\/side\/[0-9A-Z]{26}$/);
    return page.url();
  });
  const before = await ranking(page);
  expect(before).toHaveLength(12);
  // What was scored before of the very same drinks counts here too.
  expect(before.filter((text) => text.includes(later.compared.never)).length).toBeGreaterThan(0);

  await test.step('plan: three glasses of 15 ml, unseen', async () => {
    await page.goto(`${side}/next`);
    await page.getByRole('button', { name: later.planning.fewer }).tap();
    await page.getByRole('button', { name: later.planning.smaller }).tap();
    await page.getByLabel(later.planning.sights.blind).check();
    await expect(page.getByText(later.planning.fits, { exact: true })).toBeVisible();
    await act(page).filter({ hasText: later.planning.save }).tap();
    await page.waitForURL('**/flight/*');
  });
  const flight = page.url();

  await test.step('two are tasted; the benchmark is worth 7 from now on; the third is tasted', async () => {
    await act(page).filter({ hasText: later.pouring.show }).tap();
    await act(page).filter({ hasText: later.pouring.hide }).tap();
    await act(page).filter({ hasText: later.pouring.start }).tap();
    const taste = async (steps: number) => {
      for (let i = 0; i < steps; i++) await page.getByRole('button', { name: words.sheet.scoreMore }).tap();
      await act(page).filter({ hasText: later.tasting.keep }).tap();
    };
    await taste(4);
    await expect(page.getByTestId('glass').nth(0)).toContainText(later.tasting.state.scored);
    await taste(3);
    await expect(page.getByTestId('glass').nth(1)).toContainText(later.tasting.state.scored);

    await page.goto(side);
    expect(await ranking(page), 'scores wait for the reveal').toEqual(before);
    await page.locator('#worth > summary').tap();
    const worth = page.getByRole('spinbutton', { name: later.compared.worthLabel });
    for (let i = 0; i < 4; i++) await worth.press('ArrowDown');
    await page.getByRole('button', { name: later.compared.memory }).tap();
    await page.getByRole('button', { name: later.compared.anchorSave('7') }).tap();
    await expect(page.locator('#worth > summary')).toHaveText(later.compared.anchor('7'));

    await page.goto(flight);
    await taste(1);
    await expect(page.locator('main')).toContainText(later.tasting.done);
    await expect(page.locator('main')).not.toContainText(named);
  });

  const outcome = await test.step('the names', async () => {
    await act(page).filter({ hasText: later.tasting.names }).tap();
    await expect(page.getByTestId('outcome').getByTestId('name')).toHaveCount(3);
    expect(await page.getByTestId('outcome').getByTestId('score').allInnerTexts()).toEqual(['8½', '8', '7']);
    return (await page.getByTestId('outcome').getByTestId('name').allInnerTexts()).map((name) =>
      name.replaceAll(/\s+/g, ' '),
    );
  });

  const after = await test.step('the result: three more tastings, the scores as they were given', async () => {
    await page.goto(side);
    await expect.poll(() => ranking(page)).not.toEqual(before);
    const rows = await ranking(page);
    for (const [i, name] of outcome.entries()) {
      const row = rows.find((text) => text.includes(name)) ?? '';
      expect(row, name).toContain(['8½', '8', '7'][i] ?? '');
    }
    return rows;
  });

  await test.step('with signal again, the laptop says the same of it, and of the flight', async () => {
    await phone.context.setOffline(false);
    await phone.agrees();
    expect(await phone.queue()).toEqual([]);
    const laptop = await Device.laptop(browser, demo);
    await laptop.page.goto(side);
    expect(await ranking(laptop.page)).toEqual(after);
    await expect(laptop.page.locator('#worth > summary')).toHaveText(later.compared.anchor('7'));
    await laptop.page.goto(flight);
    await expect(laptop.page.getByTestId('outcome').getByTestId('score')).toHaveText(['8½', '8', '7']);
    await laptop.close();
  });
  await phone.close();
});
