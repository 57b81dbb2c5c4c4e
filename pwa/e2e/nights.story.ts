import { type Browser, type BrowserContextOptions, expect, type Page, test } from '@playwright/test';
import { words } from '../src/app/words.ts';
import { Clock } from './clock.ts';
import { Device, laptopShape, phoneShape } from './device.ts';
import { faultsOf } from './screen.ts';
import { Served } from './server.ts';

let served: Served;
test.beforeEach(async () => {
  served = await Served.start();
});
test.afterEach(() => served.remove());

const owner = { name: 'Wren', password: 'a pear in the orchard' };

// One bottle: 330 ml at 6 % is 19.8 ml of ethanol, by 0.789 g/ml 15.62 g; an Australian standard drink is 10 g (NHMRC 2020).
const bottle = (330 * 0.06 * 0.789) / 10;
const shown = (drinks: number) => (Math.floor(drinks * 10 + 0.5) / 10).toFixed(1);

test('a night the clocks go back, a journey over the sea, a pour halved and one deleted elsewhere: the same figures everywhere', async ({
  browser,
}) => {
  test.setTimeout(240_000);
  const { phone, clock } = await at(browser, phoneShape, 'Europe/Berlin', '2026-10-24T23:40:00+02:00');
  const faults: string[] = [];

  await test.step('three bottles: before midnight, at half past two, and at half past two again', async () => {
    const { page } = phone;
    await page.goto(served.setUp);
    await page.getByLabel(words.door.account, { exact: true }).fill(owner.name);
    await page.getByLabel(words.door.password, { exact: true }).fill(owner.password);
    await page.getByRole('button', { name: words.door.setUp.act, exact: true }).click();
    await phone.agrees();
    await page.goto(`${served.origin}/keeper/settings`);
    await page.getByLabel(words.keeper.country, { exact: true }).selectOption('AU');
    await pour(phone);
    await clock.set('2026-10-25T02:30:00+02:00');
    await pour(phone);
    await clock.set('2026-10-25T02:30:30+01:00'); // an hour later
    await pour(phone);

    const day = await dayOf(page, 'Saturday 24 October');
    await expect(day.getByRole('link', { name: 'Perry' })).toHaveCount(3);
    await expect(day.getByText('02:30', { exact: true })).toHaveCount(2);
    await expect(day.getByRole('heading')).toContainText(shown(3 * bottle));
    await expect(page.locator('section.day')).toHaveCount(1); // the 25th has nothing of its own
    await page.goto(`${served.origin}/week`);
    // 23:40 in summer time to 02:30 in winter time are 230 minutes.
    await expect(page.getByText(words.week.sessionPace(shown((3 * bottle) / (230 / 60))))).toBeVisible();
    faults.push(...(await faultsOf(page, 'night-week')));
    await page.setViewportSize(phoneShape.viewport ?? { width: 390, height: 844 });
  });

  const abroad = await test.step('the next evening in New York; the days before stay what they were', async () => {
    const { phone: other } = await at(browser, phoneShape, 'America/New_York', '2026-10-25T22:00:00-04:00');
    await signIn(other);
    await pour(other);
    const sunday = await dayOf(other.page, 'Sunday 25 October');
    await expect(sunday.getByText('22:00', { exact: true })).toHaveCount(1);
    await expect(sunday.getByRole('heading')).toContainText(shown(bottle));
    const saturday = await dayOf(other.page, 'Saturday 24 October');
    await expect(saturday.getByText('02:30', { exact: true })).toHaveCount(2);
    await expect(saturday.getByText('23:40', { exact: true })).toHaveCount(1);
    return other;
  });

  const laptop = await test.step('on the laptop one is halved and one is deleted', async () => {
    const { phone: device } = await at(browser, laptopShape, 'Europe/Berlin', '2026-10-26T12:00:00+01:00');
    await signIn(device);
    const { page } = device;
    await (await dayOf(page, 'Saturday 24 October')).getByRole('link', { name: 'Perry' }).first().click();
    await page.getByRole('button', { name: 'half, shared by two', exact: true }).click();
    await expect(page.getByText(words.pour.shareSaved)).toBeVisible();
    await (await dayOf(page, 'Saturday 24 October')).getByRole('link', { name: 'Perry' }).last().click();
    await page.getByRole('button', { name: words.pour.delete, exact: true }).click();
    await expect(page.getByText(words.pour.deleted('Perry'))).toBeVisible();
    await device.agrees();
    return device;
  });

  await test.step('phone, laptop, the phone abroad and the server agree', async () => {
    const saturdays = shown(1.5 * bottle);
    const sevenDays = shown(2.5 * bottle);
    await clock.set('2026-10-26T12:00:00+01:00');
    for (const { page } of [phone, laptop, abroad]) {
      const day = await dayOf(page, 'Saturday 24 October');
      await expect(day.getByRole('link', { name: 'Perry' })).toHaveCount(2, { timeout: 30_000 });
      await expect(day.getByRole('heading')).toContainText(saturdays);
      await page.goto(`${served.origin}/week`);
      await expect(page.locator('.two .fig').first()).toHaveText(sevenDays);
      const api = await week(page, '2026-10-26T12:00:00+01:00');
      expect(api.last_seven.totals.alcohol.drinks).toBe(Number(sevenDays));
      expect(api.last_seven.days.find((it) => it.day === '2026-10-24')?.alcohol?.drinks).toBe(Number(saturdays));
      expect(api.last_seven.days.find((it) => it.day === '2026-10-25')?.alcohol?.drinks).toBe(Number(shown(bottle)));
    }
  });

  await test.step('a night the clocks go forward: half past eleven to half past two are two hours', async () => {
    const spring = await at(browser, phoneShape, 'Europe/London', '2026-03-28T23:30:00Z');
    await signIn(spring.phone);
    await pour(spring.phone);
    await spring.clock.set('2026-03-29T02:30:00+01:00');
    await pour(spring.phone);
    const { page } = spring.phone;
    const day = await dayOf(page, 'Saturday 28 March');
    await expect(day.getByRole('link', { name: 'Perry' })).toHaveCount(2);
    await page.goto(`${served.origin}/week`);
    await expect(page.getByText(words.week.sessionPace(shown((2 * bottle) / 2)))).toBeVisible();
    await close(spring.phone);
  });
  expect(faults).toEqual([]);
  for (const device of [phone, abroad, laptop]) await close(device);
});

/** A device in a zone, at a moment. */
async function at(
  browser: Browser,
  shape: BrowserContextOptions,
  timezoneId: string,
  when: string,
): Promise<{ phone: Device; clock: Clock }> {
  const phone = await Device.fresh(browser, { ...shape, timezoneId, serviceWorkers: 'block' });
  return { phone, clock: await Clock.of(phone.context, when) };
}

/** Service workers are blocked here, and both the browser and the app say so; nothing else may have been said. */
async function close(device: Device): Promise<void> {
  await device.context.close();
  expect(device.said.filter((line) => !/registration blocked|reading 'waiting'/.test(line))).toEqual([]);
}

async function signIn(device: Device): Promise<void> {
  const { page } = device;
  await page.goto(`${served.origin}/sign-in`);
  await page.getByLabel(words.door.account, { exact: true }).fill(owner.name);
  await page.getByLabel(words.door.password, { exact: true }).fill(owner.password);
  await page.getByRole('button', { name: words.door.signIn.act, exact: true }).click();
  await device.agrees();
}

/** A bottle, by hand, now. */
async function pour(device: Device): Promise<void> {
  const { page } = device;
  await page.goto(`${served.origin}/pour`);
  await page.getByLabel(words.sheet.otherName).fill('Perry');
  await page.getByLabel(words.sheet.otherVolume).fill('330');
  await page.getByLabel(words.sheet.otherStrength).fill('6');
  await page.getByRole('button', { name: words.sheet.pourOther }).click();
  await expect(page.getByText(words.tonight.poured('Perry'))).toBeVisible();
  await device.agrees();
}

/** The section of a day in the Journal. */
async function dayOf(page: Page, day: string) {
  await page.goto(`${served.origin}/journal`);
  const section = page.locator('section.day').filter({ has: page.getByRole('heading', { name: day }) });
  await expect(section).toHaveCount(1, { timeout: 30_000 });
  return section;
}

interface Week {
  last_seven: {
    totals: { alcohol: { drinks: number } };
    days: { day: string; alcohol: { drinks: number } | null }[];
  };
}

async function week(page: Page, now: string): Promise<Week> {
  return page.evaluate(async (moment) => {
    const json = async (path: string) => (await fetch(path)).json();
    const { journal } = await json('/api/v1/auth/me');
    return json(`/api/v1/journals/${journal}/week?now=${encodeURIComponent(moment)}`);
  }, now);
}
