import { type Browser, expect } from '@playwright/test';
import { words } from '../src/app/words.ts';
import { later } from '../src/app/words/en/later.ts';
import { Device, laptopShape, phoneShape } from './device.ts';
import { faultsOf } from './screen.ts';
import { Demo } from './server.ts';
import { test } from './story.ts';

let demo: Demo;
test.beforeEach(async () => {
  demo = await Demo.start();
});
test.afterEach(() => demo.remove());

const phone = words.pair.names.phone;

test('a signed-in device lets others in by link and by typed code, once their number is confirmed', async ({
  browser,
}) => {
  test.setTimeout(240_000);
  const first = await Device.laptop(browser, demo);
  const faults: string[] = [];

  const second = await test.step('a phone by the link of the QR code, confirmed after a reload of both', async () => {
    const { code, link } = await askFor(first);
    expect(link).toBe(`${demo.origin}/pair#code=${code}`);
    faults.push(...(await faultsOf(first.page, 'keeper-code')));
    const device = await Device.fresh(browser, phoneShape);
    await device.page.goto(link);
    const number = await numberOn(device);
    expect(device.page.url()).not.toContain(code); // it stays in no history
    await device.page.reload();
    expect(await numberOn(device)).toBe(number);
    faults.push(...(await faultsOf(device.page, 'pair-waiting')));

    await expect(first.page.getByText(later.adding.waits(phone))).toBeVisible();
    await first.page.reload();
    await expect(first.page.getByText(later.adding.waits(phone))).toBeVisible();
    expect(await first.page.locator('main').innerText()).not.toContain(number); // it is read off the phone
    faults.push(...(await faultsOf(first.page, 'keeper-waits')));
    await answer(first, number);
    await expect(first.page.getByText(later.adding.letIn(phone))).toBeVisible();
    await device.agrees();
    await expect(row(first, phone)).toHaveCount(1);
    return device;
  });

  const third = await test.step('another laptop by the code, typed', async () => {
    const { code } = await askFor(first);
    const device = await typed(browser, code, 'Back room');
    await answer(first, await numberOn(device));
    await device.agrees();
    await expect(row(first, 'Back room')).toHaveCount(1);
    return device;
  });

  await test.step('a wrong number lets nobody in, and neither does the code after it', async () => {
    const { code } = await askFor(first);
    const device = await typed(browser, code, 'Nobody');
    const number = await numberOn(device);
    await answer(first, number === '47' ? '48' : '47');
    await expect(first.page.getByRole('alert')).toHaveText(later.adding.failed('number'));
    await expect(device.page.getByRole('alert')).toHaveText(words.pair.refused('refused'));
    await device.page.getByLabel(words.pair.code, { exact: true }).fill(code);
    await device.page.getByRole('button', { name: words.pair.act, exact: true }).click();
    await expect(device.page.getByRole('alert')).toHaveText(words.pair.refused('code_unknown'));
    await first.page.reload();
    await expect(row(first, phone)).toHaveCount(1);
    await expect(row(first, 'Nobody')).toHaveCount(0);
    await closeAfterRefusals(device);
  });

  await test.step('one that is refused on purpose is told so', async () => {
    const { code } = await askFor(first);
    const device = await typed(browser, code, 'Nobody');
    await numberOn(device);
    await first.page.getByRole('button', { name: later.adding.refuse }).click();
    await expect(first.page.getByText(later.adding.refused)).toBeVisible();
    await expect(device.page.getByRole('alert')).toHaveText(words.pair.refused('refused'));
    await closeAfterRefusals(device);
  });

  await test.step('the phone, without signal, pours; meanwhile it is removed; back, it says so and keeps the pour', async () => {
    const { page } = second;
    await second.installed();
    await second.context.setOffline(true);
    await page.goto(`${demo.origin}/pour`);
    await page.getByLabel(words.sheet.otherName).fill('Perry in the cellar');
    await page.getByLabel(words.sheet.otherVolume).fill('200');
    await page.getByRole('button', { name: words.sheet.pourOther }).tap();
    await expect(page.getByText(words.tonight.poured('Perry in the cellar'))).toBeVisible();
    expect(await second.queue()).toHaveLength(1);

    await first.page.getByRole('button', { name: later.keeper.removeLabel(phone) }).click();
    await first.page.getByRole('button', { name: later.keeper.removeYes }).click();
    await expect(row(first, phone)).toContainText(later.keeper.ended('revoked'));
    await second.context.setOffline(false);
    await page.goto(`${demo.origin}/keeper`);
    await expect(page.getByText(words.stopped('revoked').what).first()).toBeVisible({ timeout: 30_000 });
    expect(await second.queue()).toHaveLength(1);
    await first.page.goto(`${demo.origin}/journal`);
    await expect(first.page.getByRole('link', { name: 'Perry in the cellar' })).toHaveCount(0);
  });

  await test.step('paired again, the pour arrives everywhere', async () => {
    const { code } = await askFor(first);
    const { page } = second;
    await page.goto(`${demo.origin}/pair`);
    await page.getByLabel(words.pair.code, { exact: true }).fill(code);
    await page.getByRole('button', { name: words.pair.act, exact: true }).tap();
    await answer(first, await numberOn(second));
    await second.agrees();
    expect(await second.queue()).toEqual([]);
    for (const { page } of [first, second, third]) {
      await page.goto(`${demo.origin}/journal`);
      await expect(page.getByRole('link', { name: 'Perry in the cellar' })).toHaveCount(1);
    }
  });

  await test.step('all others are removed at once; this one stays', async () => {
    const { page } = first;
    await page.goto(`${demo.origin}/keeper`);
    await page.getByRole('button', { name: later.adding.removeAll }).click();
    await page.getByRole('button', { name: later.adding.removeAllYes }).click();
    await expect(row(first, 'Back room')).toContainText(later.keeper.ended('revoked'));
    await expect(page.getByRole('button', { name: later.adding.removeAll })).toHaveCount(0);
    for (const device of [second, third]) {
      await device.page.goto(`${demo.origin}/keeper`);
      await expect(device.page.getByText(words.stopped('revoked').what).first()).toBeVisible({ timeout: 30_000 });
    }
    await first.agrees();
  });

  expect(faults).toEqual([]);
  for (const device of [first, second, third]) await closeAfterRefusals(device);
});

/** Asks for a code in Keeper; the answer is what stands there to be read. */
async function askFor(device: Device): Promise<{ code: string; link: string }> {
  const { page } = device;
  await page.goto(`${demo.origin}/keeper`);
  await page.getByRole('button', { name: later.adding.act }).click();
  await expect(page.getByRole('img', { name: later.adding.qr })).toBeVisible();
  return { code: await page.getByTestId('code').innerText(), link: await page.getByTestId('pairlink').innerText() };
}

/** A new laptop that types the code. */
async function typed(browser: Browser, code: string, name: string): Promise<Device> {
  const device = await Device.fresh(browser, laptopShape);
  const { page } = device;
  await page.goto(`${demo.origin}/pair`);
  await page.getByLabel(words.pair.code, { exact: true }).fill(code);
  await page.getByLabel(words.pair.name, { exact: true }).fill(name);
  await page.getByRole('button', { name: words.pair.act, exact: true }).click();
  return device;
}

/** The number a new device shows. */
async function numberOn({ page }: Device): Promise<string> {
  await expect(page.getByText(words.pair.confirm)).toBeVisible();
  const number = await page.getByTestId('code').innerText();
  expect(number).toMatch(/^\d\d$/);
  return number;
}

async function answer({ page }: Device, number: string): Promise<void> {
  await page.getByLabel(later.adding.number).fill(number);
  await page.getByRole('button', { name: later.adding.confirm, exact: true }).click();
}

/** In Keeper's list of devices. */
const row = ({ page }: Device, name: string) => page.getByTestId('device').filter({ hasText: new RegExp(`^${name}`) }); // not “bar phone” of the demo

/** The browser itself reports each refused request; nothing else may have been said. */
async function closeAfterRefusals(device: Device): Promise<void> {
  await device.context.close();
  expect(device.said.filter((line) => !/status of (403|422)/.test(line))).toEqual([]);
}
