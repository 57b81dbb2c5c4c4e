/** A server that is lost and set up anew: what its devices hold comes back, and until then nothing is hidden or erased. */
import { mkdir, readFile, rm } from 'node:fs/promises';
import { expect, type Page } from '@playwright/test';
import { words } from '../src/app/words.ts';
import { later } from '../src/app/words/en/later.ts';
import { type Action, Device, laptopShape, phoneShape } from './device.ts';
import { faultsOf } from './screen.ts';
import { Served } from './server.ts';
import { test } from './story.ts';

let served: Served;
test.beforeEach(async () => {
  served = await Served.start();
});
test.afterEach(() => served.remove());

const owner = { name: 'Wren', password: 'a pear in the orchard' };
const sent = ['Cider by the fire', 'Perry at the table', 'Quince cup'];

test('a phone with three pours sent and one not gives a server that was set up anew everything back', async ({
  browser,
}) => {
  test.setTimeout(300_000);
  const phone = await Device.fresh(browser, phoneShape);
  const { page } = phone;
  await setUp(phone);
  await phone.agrees();
  for (const drink of sent) await pour(phone, drink);
  await phone.agrees();
  await lose(async () => {
    await pour(phone, 'Elder fizz');
    await expect(page.getByRole('banner').getByText(words.state.synced)).toBeHidden();
  });

  await test.step('before anybody has set it up, everything is there and nothing is called sent', async () => {
    await page.reload();
    await expect(page.getByText(words.stopped('expired').what).first()).toBeVisible({ timeout: 30_000 });
    for (const drink of [...sent, 'Elder fizz']) await has(phone, drink, 1);
    await page.goto(`${served.origin}/keeper`);
    await expect(page.getByText(later.leaving.unsent(1))).toBeVisible();
    const line = page.getByRole('list', { name: later.held.title }).getByRole('listitem');
    await expect(line).toHaveText([/4 pours.*1 not sent/]);
    await expect(page.getByText(later.leaving.allSent)).toHaveCount(0);
  });

  await test.step('set up anew: the journal it holds is offered, with what is in it', async () => {
    await setUp(phone);
    await expect(page.getByRole('heading', { level: 1 })).toHaveText(later.forgotten.title, { timeout: 30_000 });
    await expect(page.getByText(later.forgotten.found(owner.name))).toBeVisible();
    await expect(page.getByTestId('held')).toHaveText(/4 pours.*1 not sent/);
    expect(await faultsOf(phone.page, 'forgotten')).toEqual([]);
  });

  await test.step('put off, it is still told of, exported and counted', async () => {
    await page.goto(served.origin);
    await expect(page.getByText(words.forgotten.here(owner.name))).toBeVisible();
    const files = await exported(page);
    expect(files).toHaveLength(2);
    const pours = files.flatMap((it) => [
      ...it.entities.filter((e) => e.kind === 'pour').map((e) => e.id),
      ...it.queue.flatMap((a) => a.edits.filter((e) => e.kind === 'pour').map((e) => e.id)),
    ]);
    expect(new Set(pours).size).toBe(4);
    await page.goto(`${served.origin}/keeper`);
    const lines = page.getByRole('list', { name: later.held.title }).getByRole('listitem');
    await expect(lines).toHaveCount(2);
    await expect(lines.last()).toHaveText(/4 pours.*1 not sent.*does not know/);
    await page.getByRole('button', { name: later.leaving.erase, exact: true }).click();
    await expect(page.getByText(later.leaving.eraseSure(1, false))).toBeVisible();
    expect(await faultsOf(phone.page, 'keeper-forgotten')).toEqual([]);
    await page.getByRole('button', { name: words.leaveIt }).click();
  });

  await test.step('brought in, it is all there, once, and the server has it', async () => {
    await page.goto(served.origin);
    await page.getByRole('link', { name: words.forgotten.way }).click();
    await page.getByRole('button', { name: later.forgotten.along(owner.name) }).click();
    await expect(page.getByText(/^It is all here now/)).toBeVisible();
    await phone.agrees();
    for (const drink of [...sent, 'Elder fizz']) await has(phone, drink, 1);
    expect(await phone.queue()).toEqual([]);
    expect((await databases(page)).filter((name) => name?.startsWith('journal.'))).toHaveLength(1);
    expect(await exported(page)).toHaveLength(1);
  });

  const second = await test.step('a second phone gets all four, once each', async () => {
    const device = await Device.fresh(browser, laptopShape);
    await signIn(device, owner.name, owner.password);
    await device.agrees();
    for (const drink of [...sent, 'Elder fizz']) await has(device, drink, 1);
    return device;
  });
  for (const device of [phone, second]) await closeAfterRefusals(device);
});

test('two devices that held the journal and differ: both come back, nothing twice, nothing asked', async ({
  browser,
}) => {
  test.setTimeout(300_000);
  const phone = await Device.fresh(browser, phoneShape);
  await setUp(phone);
  await phone.agrees();
  for (const drink of sent) await pour(phone, drink);
  await phone.agrees();
  const tablet = await Device.fresh(browser, laptopShape);
  await signIn(tablet, owner.name, owner.password);
  await tablet.agrees();
  for (const drink of sent) await has(tablet, drink, 1);
  await tablet.context.setOffline(true); // on its way home, it has not heard of the last one
  await pour(phone, 'Medlar punch');
  await phone.agrees();
  await lose(async () => {
    await pour(phone, 'Elder fizz');
    await tablet.page.getByRole('link', { name: words.rooms.tonight }).first().click();
    await pourHere(tablet, 'Sloe cup');
  });
  await tablet.context.setOffline(false);

  await setUp(phone);
  await phone.page.getByRole('button', { name: later.forgotten.along(owner.name) }).click();
  await expect(phone.page.getByText(/^It is all here now/)).toBeVisible();
  await phone.agrees();

  await signIn(tablet, owner.name, owner.password);
  await expect(tablet.page.getByRole('heading', { level: 1 })).toHaveText(later.forgotten.title, { timeout: 30_000 });
  await tablet.agrees(); // it has what the phone brought already
  await tablet.page.getByRole('button', { name: later.forgotten.along(owner.name) }).click();
  await expect(tablet.page.getByText(/^It is all here now/)).toBeVisible();
  await tablet.agrees();

  const all = [...sent, 'Medlar punch', 'Elder fizz', 'Sloe cup'];
  for (const device of [tablet, phone]) {
    for (const drink of all) await has(device, drink, 1);
    await device.page.goto(`${served.origin}/keeper`);
    await expect(device.page.getByText(words.state.synced).first()).toBeVisible();
    await expect(device.page.getByRole('heading', { name: later.keeper.clashes })).toHaveCount(0);
    expect(await device.queue()).toEqual([]);
  }
  for (const device of [phone, tablet]) await closeAfterRefusals(device);
});

test('another account of a server that lives is offered nothing', async ({ browser }) => {
  test.setTimeout(240_000);
  const phone = await Device.fresh(browser, phoneShape);
  const { page } = phone;
  await setUp(phone);
  await phone.agrees();
  await pour(phone, sent[0] ?? '');
  await phone.agrees();
  const laptop = await Device.fresh(browser, laptopShape); // an invitation ends with the sign-in of the device that made it
  await signIn(laptop, owner.name, owner.password);
  await laptop.agrees();
  await laptop.page.goto(`${served.origin}/keeper/household`);
  await laptop.page.getByRole('button', { name: later.household.invite, exact: true }).click();
  const link = await laptop.page.getByText(`${served.origin}/join#code=`).innerText();
  await page.goto(`${served.origin}/keeper`);
  await page.getByRole('button', { name: later.leaving.keep, exact: true }).click();
  await page.getByRole('button', { name: later.leaving.keepYes, exact: true }).click();
  await expect(page.getByText(words.stopped('signed_out').what).first()).toBeVisible();

  await page.goto(link);
  await page.getByLabel(later.door.account, { exact: true }).fill('Rook');
  await page.getByLabel(later.door.password, { exact: true }).fill('a hazel by the gate');
  await page.getByRole('button', { name: later.door.join.act, exact: true }).click();
  await phone.agrees();
  await has(phone, sent[0] ?? '', 0);
  await expect(page.getByText(words.forgotten.here(owner.name))).toHaveCount(0);
  await page.goto(`${served.origin}/keeper`);
  const lines = page.getByRole('list', { name: later.held.title }).getByRole('listitem');
  await expect(lines).toHaveCount(2); // erasing here would take the owner's copy along, so it is counted
  await expect(lines.last()).toContainText(later.held.where.elsewhere ?? 'never');
  await expect(page.getByRole('link', { name: later.forgotten.way(owner.name) })).toHaveCount(0);
  for (const device of [phone, laptop]) await closeAfterRefusals(device);
});

/** The server ends; while it is gone something is done; then it is there again with an empty folder, at the same address. */
async function lose(meanwhile: () => Promise<void>): Promise<void> {
  await served.stop();
  await meanwhile();
  await rm(served.data, { recursive: true });
  await mkdir(served.data, { mode: 0o700 });
  await served.start();
}

/** Makes the owner’s account by the link of the terminal. */
async function setUp({ page }: Device): Promise<void> {
  await page.goto('about:blank'); // a link that only differs in its fragment loads no page
  await page.goto(served.setUp);
  await page.getByLabel(later.door.account, { exact: true }).fill(owner.name);
  await page.getByLabel(later.door.password, { exact: true }).fill(owner.password);
  await page.getByRole('button', { name: later.door.setUp.act, exact: true }).click();
}

async function signIn({ page }: Device, name: string, password: string): Promise<void> {
  await page.goto(`${served.origin}/sign-in`);
  await page.getByLabel(later.door.account, { exact: true }).fill(name);
  await page.getByLabel(later.door.password, { exact: true }).fill(password);
  await page.getByRole('button', { name: words.door.signIn.act, exact: true }).click();
}

/** A plain drink, by hand; the page is fetched from the server or from this device. */
async function pour(device: Device, name: string): Promise<void> {
  await device.installed();
  await device.page.goto(`${served.origin}/pour`);
  await pourHere(device, name);
}

async function pourHere({ page }: Device, name: string): Promise<void> {
  if (!page.url().endsWith('/pour')) await page.goto(`${served.origin}/pour`);
  await page.getByLabel(words.sheet.otherName).fill(name);
  await page.getByLabel(words.sheet.otherVolume).fill('200');
  await page.getByRole('button', { name: words.sheet.pourOther }).click();
  await expect(page.getByText(words.tonight.poured(name))).toBeVisible();
}

async function has({ page }: Device, drink: string, times: number): Promise<void> {
  await page.goto(`${served.origin}/journal`);
  await expect(page.getByRole('heading', { level: 1 })).toHaveText(words.rooms.journal);
  await expect(page.getByTestId('waiting')).toHaveCount(0);
  await expect(page.getByRole('link', { name: drink })).toHaveCount(times, { timeout: 30_000 });
}

interface Exported {
  queue: Action[];
  entities: { id: string; kind: string }[];
}

/** Makes the files and takes each link. */
async function exported(page: Page): Promise<Exported[]> {
  await page.goto(`${served.origin}/keeper/export`);
  await page.getByRole('button', { name: later.exporting.make }).click();
  const links = page.getByRole('link', { name: /^Save fair-measure-/ });
  await expect(links.first()).toBeVisible({ timeout: 30_000 });
  const all: Exported[] = [];
  for (let i = 0; i < (await links.count()); i++) {
    const [download] = await Promise.all([page.waitForEvent('download'), links.nth(i).click()]);
    all.push(JSON.parse(await readFile(await download.path(), 'utf8')));
  }
  return all;
}

async function databases(page: Page): Promise<(string | undefined)[]> {
  return page.evaluate(async () => (await indexedDB.databases()).map(({ name }) => name));
}

/** The browser itself reports each refused request and each that nobody answered; nothing else may have been said. */
async function closeAfterRefusals(device: Device): Promise<void> {
  await device.context.close();
  expect(device.said.filter((line) => !/status of (401|403|404|409|503)|net::ERR_/.test(line))).toEqual([]);
}
