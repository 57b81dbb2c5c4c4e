import { type Browser, type BrowserContextOptions, expect, type Locator, type Page } from '@playwright/test';
import { words } from '../src/app/words.ts';
import { later } from '../src/app/words/en/later.ts';
import { begin, Clock } from './clock.ts';
import { Device, laptopShape, phoneShape } from './device.ts';
import { faultsOf } from './screen.ts';
import { Served } from './server.ts';
import { test } from './story.ts';

let served: Served;
test.afterEach(() => served.remove());

const owner = { name: 'Wren', password: 'a pear in the orchard' };

interface Drink {
  name: string;
  ml: number;
  percent: number;
}
// Each of its own volume and strength, so that a figure tells which of them it is made of.
const perry: Drink = { name: 'Perry', ml: 330, percent: 6 };
const cider: Drink = { name: 'Cider', ml: 500, percent: 5 };
const quince: Drink = { name: 'Quince wine', ml: 150, percent: 12 };
const elder: Drink = { name: 'Elder fizz', ml: 250, percent: 7 };
/** Millilitres of ethanol. */
const ethanol = ({ ml, percent }: Drink) => (ml * percent) / 100;
/** An Australian standard drink is 10 g of alcohol (NHMRC 2020), at 0.789 g/ml. */
const australian = (millilitres: number) => (millilitres * 0.789) / 10;
/** A unit of the United Kingdom is 10 ml of ethanol. */
const british = (millilitres: number) => millilitres / 10;
const shown = (drinks: number) => (Math.floor(drinks * 10 + 0.5) / 10).toFixed(1);

test('a night the clocks go back, a journey over the sea, pours halved and one deleted elsewhere: the same figures everywhere', async ({
  browser,
}) => {
  test.setTimeout(240_000);
  const { phone, clock } = await nightBegins(browser, 'Europe/Berlin', '2026-10-24T23:40:00+02:00');
  const faults: string[] = [];
  const night = ethanol(perry) + ethanol(cider) + ethanol(quince);

  await test.step('three drinks: before midnight, at half past two, and at half past two again', async () => {
    const { page } = phone;
    await setUp(phone, 'AU');
    await pour(phone, perry);
    await clock.set('2026-10-25T02:30:00+02:00');
    await pour(phone, cider);
    await clock.set('2026-10-25T02:30:30+01:00'); // an hour later
    await pour(phone, quince);

    // 23:40 in summer time to 02:30 in winter time are 230 minutes.
    const pace = shown(australian(night) / (230 / 60));
    await page.goto(served.origin);
    const tonight = page.getByRole('region', { name: words.tonight.soFar });
    await expect(tonight.getByTestId('total')).toHaveText(shown(australian(night)));
    await expect(tonight.getByText(words.tonight.paceValue(pace), { exact: true })).toBeVisible();
    faults.push(...(await faultsOf(phone.page, 'night-tonight')));
    const day = await dayOf(page, 'Saturday 24 October');
    for (const [drink, time] of [
      [perry, '23:40 UTC+2'],
      [cider, '02:30 UTC+2'],
      [quince, '02:30 UTC+1'],
    ] as const) {
      const row = day.getByRole('listitem').filter({ has: page.getByRole('link', { name: drink.name }) });
      await expect(row.getByTestId('at')).toHaveText(time);
    }
    await expect(day.getByTestId('total')).toHaveText(shown(australian(night)));
    await expect(page.getByTestId('day')).toHaveCount(1); // the 25th has nothing of its own
    faults.push(...(await faultsOf(phone.page, 'night-journal')));
    await page.goto(`${served.origin}/week`);
    await expect(page.getByText(later.week.sessionPace(pace))).toBeVisible();
    faults.push(...(await faultsOf(phone.page, 'night-week')));
  });

  const abroad = await test.step('the next evening in New York; the days before stay what they were', async () => {
    const { phone: other } = await at(browser, phoneShape, 'America/New_York', '2026-10-25T22:00:00-04:00');
    await signIn(other);
    await pour(other, elder);
    const sunday = await dayOf(other.page, 'Sunday 25 October');
    await expect(sunday.getByTestId('at')).toHaveText(['22:00']);
    await expect(sunday.getByTestId('total')).toHaveText(shown(australian(ethanol(elder))));
    const saturday = await dayOf(other.page, 'Saturday 24 October');
    expect((await saturday.getByTestId('at').allTextContents()).sort()).toEqual([
      '02:30 UTC+1',
      '02:30 UTC+2',
      '23:40 UTC+2',
    ]);
    await expect(saturday.getByTestId('total')).toHaveText(shown(australian(night)));
    await expect(other.page.getByTestId('day')).toHaveCount(2);
    return other;
  });

  const laptop = await test.step('on the laptop one of each day is halved and one is deleted', async () => {
    const { phone: device } = await at(browser, laptopShape, 'Europe/Berlin', '2026-10-26T12:00:00+01:00');
    await signIn(device);
    const { page } = device;
    for (const [day, drink] of [
      ['Saturday 24 October', cider],
      ['Sunday 25 October', elder],
    ] as const) {
      await (await dayOf(page, day)).getByRole('link', { name: drink.name }).click();
      await page.getByRole('button', { name: 'half, shared by two', exact: true }).click();
      await expect(page.getByText(later.pour.shareSaved)).toBeVisible();
    }
    await (await dayOf(page, 'Saturday 24 October')).getByRole('link', { name: quince.name }).click();
    await page.getByRole('button', { name: later.pour.delete, exact: true }).click();
    await expect(page.getByText(later.pour.deleted(quince.name))).toBeVisible();
    await device.agrees();
    return device;
  });

  const { drawn, api } = await test.step('phone, laptop, the phone abroad and the server agree', async () => {
    const saturdays = shown(australian(ethanol(perry) + ethanol(cider) / 2));
    const sundays = shown(australian(ethanol(elder) / 2));
    const sevenDays = shown(australian(ethanol(perry) + (ethanol(cider) + ethanol(elder)) / 2));
    const pace = shown(australian(ethanol(perry) + ethanol(cider) / 2) / (170 / 60)); // 23:40 to the first 02:30
    await clock.set('2026-10-26T12:00:00+01:00');
    for (const { page } of [phone, laptop, abroad]) {
      const day = await dayOf(page, 'Saturday 24 October');
      await expect(day.getByRole('link')).toHaveCount(2, { timeout: 30_000 });
      await expect(day.getByRole('link', { name: quince.name })).toHaveCount(0);
      await expect(day.getByTestId('total')).toHaveText(saturdays);
      await expect((await dayOf(page, 'Sunday 25 October')).getByTestId('total')).toHaveText(sundays);
      await page.goto(`${served.origin}/week`);
      await expect(page.getByTestId('total').first()).toHaveText(sevenDays);
      await expect(page.getByText(later.week.sessionPace(pace))).toBeVisible();
    }
    // At noon in Berlin the evening in New York is nine hours past; there it is as it was when it was poured.
    for (const { page } of [phone, laptop]) {
      await page.goto(served.origin);
      await expect(
        page.getByRole('heading', {
          name: words.tonight.ended('22:00', '22:00'),
          exact: true,
        }),
      ).toBeVisible();
      await expect(page.getByText(new RegExp(`^${sundays.replace('.', '[.]')} standard drinks`))).toBeVisible();
    }
    await abroad.page.goto(served.origin);
    await expect(abroad.page.getByRole('region', { name: words.tonight.soFar }).getByTestId('total')).toHaveText(
      sundays,
    );

    const api = await told(phone.page, '2026-10-26T12:00:00+01:00');
    const sums = {
      '2026-10-24': Number(saturdays),
      '2026-10-25': Number(sundays),
    };
    expect(api.week.last_seven.totals.alcohol.drinks).toBe(Number(sevenDays));
    expect(
      Object.fromEntries(
        api.week.last_seven.days.flatMap(({ day, alcohol }) => (alcohol ? [[day, alcohol.drinks]] : [])),
      ),
    ).toEqual(sums);
    expect(Object.fromEntries(api.sessions.days.map(({ day, alcohol }) => [day, alcohol.drinks]))).toEqual(sums);
    expect(
      api.sessions.days.flatMap(({ day, sessions }) =>
        sessions.map(({ since, until, pours }) => [day, since, until, pours.length]),
      ),
    ).toEqual([
      ['2026-10-25', '22:00', '22:00', 1],
      ['2026-10-24', '23:40', '02:30', 2],
    ]);

    // The page itself and the API: every day, both totals, the sessions.
    await laptop.page.goto(`${served.origin}/week`);
    const drawn = await drawnWeek(laptop.page);
    expect(drawn).toEqual({
      days: api.week.last_seven.days.map(({ alcohol }) => alcohol?.drinks ?? later.week.dash),
      lastSeven: api.week.last_seven.totals.alcohol.drinks,
      calendar: api.week.calendar.totals.alcohol.drinks,
      sessions: api.week.sessions.map(({ alcohol }) => alcohol.drinks),
    });
    expect(drawn.days).toContain(Number(saturdays));
    return { drawn, api };
  });
  expect(faults).toEqual([]);
  for (const device of [phone, abroad, laptop]) await close(device);

  // No page is open any more to miss the server.
  await test.step('and so does the terminal, on the data of the stopped server', async () => {
    await served.stop();
    const asked = ['--now', '2026-10-26T12:00:00+01:00'];
    expect(JSON.parse(await served.keeper(['week', '--json'], ...asked))).toEqual(api.week);
    const printed = await served.keeper(['week'], ...asked);
    const inPrint = (name: string) => new RegExp(`^${name} +(\\S+) `, 'm').exec(printed)?.[1];
    for (const [i, { day }] of api.week.last_seven.days.entries()) {
      const figure = drawn.days[i];
      expect(inPrint(day)).toBe(typeof figure === 'number' ? figure.toFixed(1) : '-');
    }
    expect(inPrint('last seven days')).toBe(drawn.lastSeven.toFixed(1));
    expect(inPrint('week 2026-W44')).toBe(drawn.calendar.toFixed(1));
  });
});

test('a night the clocks go forward: half past eleven to half past two are two hours', async ({ browser }) => {
  const { phone, clock } = await nightBegins(browser, 'Europe/London', '2026-03-28T23:30:00+00:00');
  const { page } = phone;
  await setUp(phone, 'GB');
  await pour(phone, perry);
  await clock.set('2026-03-29T02:30:00+01:00');
  await pour(phone, elder);
  const both = british(ethanol(perry) + ethanol(elder));
  const day = await dayOf(page, 'Saturday 28 March');
  expect((await day.getByTestId('at').allTextContents()).sort()).toEqual(['02:30 UTC+1', '23:30 UTC+0']);
  await expect(day.getByTestId('total')).toHaveText(shown(both));
  await expect(page.getByTestId('day')).toHaveCount(1);
  await page.goto(served.origin);
  const tonight = page.getByRole('region', { name: words.tonight.soFar });
  await expect(
    tonight.getByText(words.tonight.paceValue(shown(both / 2)), {
      exact: true,
    }),
  ).toBeVisible();
  await page.goto(`${served.origin}/week`);
  await expect(page.getByText(later.week.sessionPace(shown(both / 2)))).toBeVisible();
  await close(phone);
});

/** A server and the phone of its owner, whose clocks agree when the night begins. */
async function nightBegins(browser: Browser, zone: string, when: string): Promise<{ phone: Device; clock: Clock }> {
  begin(when);
  served = await Served.start();
  return at(browser, phoneShape, zone, when);
}

/** A device in a zone, at a moment. */
async function at(
  browser: Browser,
  shape: BrowserContextOptions,
  timezoneId: string,
  when: string,
): Promise<{ phone: Device; clock: Clock }> {
  const phone = await Device.fresh(browser, {
    ...shape,
    timezoneId,
    serviceWorkers: 'block',
  });
  const clock = await Clock.of(phone.context);
  await clock.set(when);
  return { phone, clock };
}

/** Service workers are blocked here, and both the browser and the app say so; nothing else may have been said. */
async function close(device: Device): Promise<void> {
  await device.context.close();
  expect(device.said.filter((line) => !/registration blocked|reading 'waiting'/.test(line))).toEqual([]);
}

async function signIn(device: Device): Promise<void> {
  const { page } = device;
  await page.goto(`${served.origin}/sign-in`);
  await page.getByLabel(later.door.account, { exact: true }).fill(owner.name);
  await page.getByLabel(later.door.password, { exact: true }).fill(owner.password);
  await page.getByRole('button', { name: words.door.signIn.act, exact: true }).click();
  await device.agrees();
}

/** The owner’s account, by the link of the terminal, counting in a country’s own unit. */
async function setUp(device: Device, country: string): Promise<void> {
  const { page } = device;
  await page.goto(served.setUp);
  await page.getByLabel(later.door.account, { exact: true }).fill(owner.name);
  await page.getByLabel(later.door.password, { exact: true }).fill(owner.password);
  await page.getByRole('button', { name: later.door.setUp.act, exact: true }).click();
  await device.agrees();
  await page.goto(`${served.origin}/keeper/settings`);
  await page.getByLabel(later.keeper.country, { exact: true }).selectOption(country);
  await expect(page.locator('footer [role=status]')).toContainText(later.keeper.set); // not before it is kept
}

/** A plain drink, by hand, now. */
async function pour(device: Device, drink: Drink): Promise<void> {
  const { page } = device;
  await page.goto(`${served.origin}/pour`);
  await page.getByLabel(words.sheet.otherName).fill(drink.name);
  await page.getByLabel(words.sheet.otherVolume).fill(String(drink.ml));
  await page.getByLabel(words.sheet.otherStrength).fill(String(drink.percent));
  await page.getByRole('button', { name: words.sheet.pourOther }).click();
  await expect(page.getByText(words.tonight.poured(drink.name))).toBeVisible();
  await device.agrees();
}

/** The section of a day in the Journal. */
async function dayOf(page: Page, day: string) {
  await page.goto(`${served.origin}/journal`);
  const section = page.getByTestId('day').filter({ has: page.getByRole('heading', { name: day }) });
  await expect(section).toHaveCount(1, { timeout: 30_000 });
  return section;
}

/** The figures of the Week as they are drawn. */
async function drawnWeek(page: Page) {
  const table = page.getByRole('table');
  await expect(table.locator('tbody tr')).toHaveCount(7);
  const sessions = page.locator('section').filter({ has: page.getByRole('heading', { name: later.week.sessions }) });
  const figures = async (from: Locator) =>
    (await from.allInnerTexts()).map((text) => (text === later.week.dash ? text : Number(text)));
  const [calendar, lastSeven] = await figures(table.locator('tfoot td:last-child'));
  return {
    days: await figures(table.locator('tbody td:last-child')),
    lastSeven: Number(lastSeven),
    calendar: Number(calendar),
    sessions: await figures(sessions.getByTestId('drinks')),
  };
}

interface Told {
  week: {
    last_seven: {
      totals: { alcohol: { drinks: number } };
      days: { day: string; alcohol: { drinks: number } | null }[];
    };
    calendar: { totals: { alcohol: { drinks: number } } };
    sessions: { alcohol: { drinks: number } }[];
  };
  sessions: {
    days: {
      day: string;
      alcohol: { drinks: number };
      sessions: { since: string; until: string; pours: unknown[] }[];
    }[];
  };
}

/** What the server itself says of that moment. */
async function told(page: Page, now: string): Promise<Told> {
  return page.evaluate(async (moment) => {
    const json = async (path: string) => {
      const response = await fetch(path);
      if (!response.ok) throw new Error(`${path}: ${response.status}`);
      return response.json();
    };
    const { journal } = await json('/api/v1/auth/me');
    const asked = `?now=${encodeURIComponent(moment)}`;
    return {
      week: await json(`/api/v1/journals/${journal}/week${asked}`),
      sessions: await json(`/api/v1/journals/${journal}/sessions${asked}`),
    };
  }, now);
}
