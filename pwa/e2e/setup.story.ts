import { expect } from '@playwright/test';
import { later } from '../src/app/words/en/later.ts';
import { words } from '../src/app/words.ts';
import { Clock, now } from './clock.ts';
import { Device, phoneShape } from './device.ts';
import { drawn, faultsOf } from './screen.ts';
import { Demo } from './server.ts';
import { test } from './story.ts';

let demo: Demo;
test.beforeAll(async () => {
  demo = await Demo.start();
});
test.afterAll(() => demo.remove());
test.describe.configure({ timeout: 240_000 });

test('six gins by two pear spirits, set up from the shelf with no signal; a flight of them refused, changed, accepted', async ({
  browser,
}) => {
  // The clock is moved in the worker's own script, which a service worker would bring past it.
  const phone = await Device.fresh(browser, { ...phoneShape, serviceWorkers: 'block' });
  const { page, context } = phone;
  const clock = await Clock.of(context);
  await page.goto(demo.open);
  await phone.agrees();
  const text = (name: string) => page.getByText(name, { exact: true });
  const tick = (name: RegExp) => page.getByRole('checkbox', { name }).last().check();

  await page.goto(`${demo.origin}/side/new`);
  await page.getByRole('button', { name: later.comparing.saveCount(0) }).tap();
  await expect(page.getByRole('alert').filter({ hasText: later.comparing.needLine })).toBeVisible();
  await tick(/juniper-heavy gin/);
  await tick(/oz clear pear eau-de-vie/);
  for (const gin of [/^soft floral/, /^citrus-led/, /^coastal/, /^cask-rested gin/]) await tick(gin);
  await tick(/cask-rested pear/);
  await page.getByLabel(later.comparing.names('juniper-heavy gin')).fill('- windfall gin, 44 %\n\nJuniper-heavy gin');
  await page.getByText(later.comparing.paste).tap();
  await page.getByLabel(later.comparing.pairings).fill('soft floral gin + cask-rested pear eau-de-vie\nonly a gin');
  await expect(page.getByText(later.comparing.glasses([6, 2], 12))).toBeVisible();
  expect(await faultsOf(page, 'setup')).toEqual([]);
  const begin = page.getByRole('button', { name: later.comparing.saveCount(12) });
  await begin.tap();
  await expect(page.getByText('Line 2: “only a gin” has one part')).toBeVisible();
  await page.getByLabel(later.comparing.pairings).fill('soft floral gin + cask-rested pear eau-de-vie');
  const worth = page.getByRole('spinbutton', { name: later.comparing.worthLabel });
  await worth.press('End');
  await expect(page.getByText(later.comparing.worthHigh)).toBeVisible();
  for (let i = 0; i < 6; i++) await worth.press('ArrowDown');
  await expect(page.getByText(later.comparing.worthHigh)).toBeHidden();

  await context.setOffline(true);
  await begin.tap();
  await page.waitForURL(/\/side\/[0-9A-Z]{26}$/);
  const here = page.url();
  const edits = (await phone.queue()).flatMap((it) => it.edits);
  const count = (kind: string) => edits.filter((it) => it.kind === kind).length;
  expect([count('comparison'), count('swap'), count('candidate')]).toEqual([1, 2, 2 + 5 + 1]);
  expect(edits.find((it) => it.kind === 'segment')?.set).toMatchObject({ anchor_x10: 70 });
  await context.setOffline(false);
  await phone.agrees();

  // Two that are only known by name are two; one that is there already is none; the way back takes out what was new.
  await page.goto(`${here}/add`);
  await page
    .getByLabel(later.comparing.names('juniper-heavy gin'))
    .fill('garden gin\nunlabelled gin\nsoft floral gin\nGarden gin');
  await page.getByRole('button', { name: later.candidates.save(2), exact: true }).tap();
  await page.waitForURL(here);
  await page.getByRole('button', { name: words.undo }).tap();
  await expect(page.getByText(words.undone(1))).toBeVisible();
  await page.goto(`${here}/add`);
  await expect(page.getByText(later.candidates.there(6))).toBeVisible();
  expect(await faultsOf(page, 'add')).toEqual([]);

  // What the demo's evening came to is over the limit already: refused, and nothing is said of how much would do.
  await page.goto(`${here}/next`);
  await expect(text(later.planning.overAlready)).toBeVisible();
  await expect(page.getByRole('button', { name: later.planning.save })).toHaveCount(0);

  // One more without a strength: it is not said whether a flight with it fits, until the strength is given.
  await page.goto(`${here}/add`);
  await page.getByLabel(later.comparing.names('juniper-heavy gin')).fill('garden gin');
  await page.getByRole('button', { name: later.candidates.save(1), exact: true }).tap();
  await page.waitForURL(here);

  // Two days on nothing is on record.
  await clock.set(new Date(now() + 48 * 3_600_000).toISOString());
  await page.reload();
  await page.goto(`${here}/next`);
  await drawn(page);
  await expect(text(later.planning.unknown)).toBeVisible();
  await page.getByLabel(later.planning.strengthOf('garden gin')).fill('42,5');
  await page.getByRole('button', { name: later.planning.keepStrengthOf('garden gin') }).tap();
  await expect(text(later.planning.fits)).toBeVisible();
  const seats = () => page.getByTestId('seat').locator('> p:first-child').allInnerTexts();
  const planned = await seats();
  expect(planned).toHaveLength(4);
  expect(planned[0]).toBe('juniper-heavy gin + clear pear eau-de-vie');
  await expect(page.getByTestId('seat').first().getByRole('button')).toHaveCount(0);
  await page.getByLabel(later.planning.size).fill('200');
  await expect(page.getByText(later.planning.needSize('200'))).toBeVisible();
  await page.getByLabel(later.planning.size).fill('60');
  await expect(text(later.planning.over)).toBeVisible();
  await page.getByLabel(later.planning.size).fill('17,5');
  await expect(text(later.planning.fits)).toBeVisible();
  expect(await faultsOf(page, 'plan')).toEqual([]);

  await page.getByRole('button', { name: later.planning.swapOf(planned[1] ?? '') }).tap();
  const other = page.getByTestId('chooser').getByRole('listitem').getByRole('button').first();
  const chosen = (await other.innerText()).split('\n')[0] ?? '';
  await other.tap();
  await expect(page.getByTestId('seat').filter({ hasText: later.planning.whys.own })).toContainText(chosen);
  await expect(page.getByRole('button', { name: later.planning.swapOf(chosen) })).toBeFocused();
  await page.getByRole('button', { name: later.planning.outOf(planned[3] ?? '') }).tap();
  await expect(page.getByText(later.planning.asChanged(3))).toBeVisible();
  const mine = await seats();
  expect(mine).toEqual([planned[0], chosen, planned[2]]);
  await page.getByRole('button', { name: later.planning.save }).tap();
  await page.waitForURL(/\/flight\/[0-9A-Z]{26}$/);

  // One flight at a time.
  await page.goto(`${here}/next`);
  await expect(page.getByText(later.planning.thereText(3, 0))).toBeVisible();
  await page.getByRole('button', { name: later.planning.drop }).tap();
  await expect(text(later.planning.fits)).toBeVisible();
  await page.getByRole('button', { name: words.undo }).tap();
  await expect(page.getByText(later.planning.thereText(3, 0))).toBeVisible();
  // Service workers are blocked here, and both the browser and the app say so; nothing else may have been said.
  await context.close();
  expect(phone.said.filter((line) => !/registration blocked|reading 'waiting'/.test(line))).toEqual([]);
});
