import { type Browser, expect } from '@playwright/test';
import { words } from '../src/app/words.ts';
import { later } from '../src/app/words/en/later.ts';
import { Device, laptopShape, phoneShape } from './device.ts';
import { faultsOf } from './screen.ts';
import { Served } from './server.ts';
import { test } from './story.ts';

let served: Served;
test.beforeEach(async () => {
  served = await Served.start();
});
test.afterEach(() => served.remove());

const owner = { name: 'Wren', password: 'a pear in the orchard' };
const faults: string[] = [];
test.beforeEach(() => {
  faults.length = 0;
});

test('set up from the terminal’s link; others by QR link and typed code; one removed with unsent work comes back with it', async ({
  browser,
}) => {
  test.setTimeout(240_000);
  const first = await Device.fresh(browser, laptopShape);
  await test.step('the link of the terminal makes the owner’s account, once', async () => {
    const { page } = first;
    await page.goto(served.setUp);
    await expect(page.getByRole('heading', { level: 1 })).toHaveText(later.door.setUp.title);
    expect(page.url()).not.toContain('key='); // it stays in no history
    await page.getByLabel(later.door.account, { exact: true }).fill(owner.name);
    await page.getByLabel(later.door.password, { exact: true }).fill('short');
    await page.getByRole('button', { name: later.door.setUp.act, exact: true }).click();
    await expect(page.getByText(later.door.passwordShort(5))).toBeVisible();
    faults.push(...(await faultsOf(first.page, 'set-up')));
    await page.getByLabel(later.door.password, { exact: true }).fill(owner.password);
    await page.getByRole('button', { name: later.door.setUp.act, exact: true }).click();
    await first.agrees();
    const late = await fetch(`${served.origin}/setup`, { headers: { Accept: 'text/html' } });
    expect(late.status).toBe(404);
  });

  const second = await test.step('a phone by the link of the QR code', async () => {
    const { link } = await askFor(first);
    const device = await Device.fresh(browser, phoneShape);
    await device.page.goto(link);
    await letIn(first, device);
    return device;
  });
  const third = await test.step('a second laptop by the code, typed', async () => {
    const { code } = await askFor(first);
    const device = await Device.fresh(browser, laptopShape);
    await device.page.goto(`${served.origin}/pair`);
    await device.page.getByLabel(words.pair.code, { exact: true }).fill(code);
    await device.page.getByLabel(words.pair.name, { exact: true }).fill('Back room');
    await device.page.getByRole('button', { name: words.pair.act, exact: true }).click();
    await letIn(first, device);
    return device;
  });

  await test.step('the phone pours without signal, and is removed meanwhile', async () => {
    await second.installed();
    await second.context.setOffline(true);
    await pour(second, 'Perry in the cellar');
    expect(await second.queue()).toHaveLength(1);
    const { page } = first;
    await page.goto(`${served.origin}/keeper`);
    await page.getByRole('button', { name: later.keeper.removeLabel(words.pair.names.phone) }).click();
    await page.getByRole('button', { name: later.keeper.removeYes }).click();
    await expect(page.getByText(later.keeper.ended('revoked'), { exact: true })).toBeVisible();
    await second.context.setOffline(false);
    await second.page.goto(`${served.origin}/keeper`);
    await expect(second.page.getByText(words.stopped('revoked').what).first()).toBeVisible({ timeout: 30_000 });
    expect(await second.queue()).toHaveLength(1);
  });

  await test.step('a wrong password lets nobody in; the right one does, and the pour arrives everywhere', async () => {
    await signIn(second, owner.name, 'a plum in the orchard');
    await expect(second.page.getByText(later.door.refused('wrong'))).toBeVisible();
    faults.push(...(await faultsOf(second.page, 'sign-in-wrong')));
    await signIn(second, owner.name.toUpperCase(), owner.password);
    await second.agrees();
    expect(await second.queue()).toEqual([]);
    for (const device of [first, second, third]) await has(device, 'Perry in the cellar', 1);
  });

  await test.step('what happened stands in the list of sign-ins', async () => {
    await first.page.goto(`${served.origin}/keeper/sign-ins`);
    await expect(first.page.getByRole('listitem').first()).toBeVisible();
    faults.push(...(await faultsOf(first.page, 'sign-ins')));
  });
  expect(faults).toEqual([]);
  for (const device of [first, second, third]) await closeAfterRefusals(device);
});

test('the journal first, the account later: adopted where there was none, else brought along or kept apart', async ({
  browser,
}) => {
  test.setTimeout(180_000);
  const phone = await alone(browser, phoneShape, 'Cider by the fire');
  const laptop = await alone(browser, laptopShape, 'Perry at the table');
  const tablet = await alone(browser, laptopShape, 'Quince cup');

  await test.step('the account has no journal yet: the phone’s becomes its own, as it is', async () => {
    const before = await phone.queue();
    expect(before).toHaveLength(1);
    await setUp(phone);
    await phone.agrees();
    await expect(phone.page).toHaveURL(`${served.origin}/`);
    expect(await phone.queue()).toEqual([]);
    await has(phone, 'Cider by the fire', 1);
  });

  await test.step('the laptop brings along what was written there', async () => {
    await signIn(laptop, owner.name, owner.password);
    const { page } = laptop;
    await expect(page.getByText(later.bring.found(1))).toBeVisible();
    faults.push(...(await faultsOf(laptop.page, 'bring')));
    await page.getByRole('button', { name: later.bring.along, exact: true }).click();
    await expect(page.getByText(later.bring.came(1))).toBeVisible();
    await laptop.agrees();
    for (const device of [laptop, phone]) {
      await has(device, 'Perry at the table', 1);
      await has(device, 'Cider by the fire', 1);
    }
  });

  await test.step('the tablet keeps it apart, and brings it along another day', async () => {
    await signIn(tablet, owner.name, owner.password);
    const { page } = tablet;
    await expect(page.getByText(later.bring.found(1))).toBeVisible();
    await page.getByRole('button', { name: later.bring.apart, exact: true }).click();
    await expect(page.getByText(later.bring.kept)).toBeVisible();
    await tablet.agrees();
    await has(tablet, 'Quince cup', 0);
    await has(tablet, 'Cider by the fire', 1);
    await page.goto(`${served.origin}/keeper/export`);
    await expect(page.getByText(later.exporting.apart(1))).toBeVisible();
    await page.goto(`${served.origin}/bring`);
    await page.getByRole('button', { name: later.bring.along, exact: true }).click();
    await expect(page.getByText(later.bring.came(1))).toBeVisible();
    await has(phone, 'Quince cup', 1);
  });
  expect(faults).toEqual([]);
  for (const device of [phone, laptop, tablet]) await device.close();
});

test('a member has a journal nobody else reads; a lost password is the keeper’s to mend', async ({ browser }) => {
  test.setTimeout(240_000);
  const first = await alone(browser, laptopShape, 'Cider by the fire');
  await setUp(first);
  await first.agrees();
  const member = { name: 'Rook', password: 'a hazel by the gate' };

  const second = await test.step('invited by a code, typed', async () => {
    const { page } = first;
    await page.goto(`${served.origin}/keeper/household`);
    await page.getByRole('button', { name: later.household.invite, exact: true }).click();
    await expect(page.getByRole('img', { name: later.household.qr })).toBeVisible();
    faults.push(...(await faultsOf(first.page, 'household')));
    const link = await page.getByText(`${served.origin}/join#code=`).innerText();
    const device = await Device.fresh(browser, phoneShape);
    await device.page.goto(link);
    expect(device.page.url()).not.toContain('code=');
    await device.page.getByLabel(later.door.account, { exact: true }).fill(member.name);
    await device.page.getByLabel(later.door.password, { exact: true }).fill(member.password);
    faults.push(...(await faultsOf(device.page, 'join')));
    await device.page.getByRole('button', { name: later.door.join.act, exact: true }).tap();
    await device.agrees();
    return device;
  });

  await test.step('each sees their own', async () => {
    await pour(second, 'Elder fizz');
    await second.agrees();
    await has(second, 'Elder fizz', 1);
    await has(second, 'Cider by the fire', 0);
    await has(first, 'Elder fizz', 0);
    await second.page.goto(`${served.origin}/keeper`);
    await expect(second.page.getByText(later.account.role.member ?? '').first()).toBeVisible();
    await expect(second.page.getByRole('link', { name: later.account.household })).toHaveCount(0);
    await first.page.goto(`${served.origin}/keeper/household`);
    await expect(first.page.getByText(member.name)).toBeVisible();
  });

  await test.step('the keeper makes a code at the terminal; the old password is gone, a new one is set', async () => {
    await served.stop();
    const said = await served.keeper(['accounts', 'recover'], member.name);
    const code = /\b[0-9A-Z]{4}-[0-9A-Z]{4}-[0-9A-Z]{4}\b/.exec(said)?.[0];
    expect(code).toBeDefined();
    await served.start();
    expect(served.setUp).toBe('');
    const device = await Device.fresh(browser, laptopShape);
    await signIn(device, member.name, member.password);
    await expect(device.page.getByText(later.door.refused('wrong'))).toBeVisible();
    await device.page.goto(`${served.origin}/pair`);
    await device.page.getByLabel(words.pair.code, { exact: true }).fill(code ?? '');
    await device.page.getByRole('button', { name: words.pair.act, exact: true }).click();
    await device.agrees();
    await has(device, 'Elder fizz', 1);
    await device.page.goto(`${served.origin}/password`);
    faults.push(...(await faultsOf(device.page, 'password')));
    await device.page.getByLabel(later.password.fresh, { exact: true }).fill('a hazel by the brook');
    await device.page.getByRole('button', { name: later.password.set, exact: true }).click();
    await expect(device.page.getByRole('status').filter({ hasText: 'Changed' })).toBeVisible();
    const third = await Device.fresh(browser, laptopShape);
    await signIn(third, member.name, 'a hazel by the brook');
    await third.agrees();
    await has(third, 'Elder fizz', 1);
    await closeAfterRefusals(third);
    await closeAfterRefusals(device);
  });
  expect(faults).toEqual([]);
  await closeAfterRefusals(first);
  await closeAfterRefusals(second);
});

test('everything is deleted; a phone that comes back late is told, takes its copy along, and is wiped on a tap', async ({
  browser,
}) => {
  test.setTimeout(180_000);
  const laptop = await alone(browser, laptopShape, 'Cider by the fire');
  await setUp(laptop);
  await laptop.agrees();
  const phone = await Device.fresh(browser, phoneShape);
  await signIn(phone, owner.name, owner.password);
  await phone.agrees();
  await phone.installed();
  await phone.page.goto('about:blank');

  await test.step('the laptop deletes it all', async () => {
    const { page } = laptop;
    await page.goto(`${served.origin}/keeper/delete`);
    faults.push(...(await faultsOf(laptop.page, 'delete')));
    await page.getByLabel(later.deleting.password, { exact: true }).fill('a plum in the orchard');
    await page.getByRole('button', { name: later.deleting.act, exact: true }).click();
    await page.getByRole('button', { name: later.deleting.yes, exact: true }).click();
    await expect(page.getByText(later.deleting.refused('wrong_password', 'password', null))).toBeVisible();
    await page.getByLabel(later.deleting.password, { exact: true }).fill(owner.password);
    await page.getByRole('button', { name: later.deleting.act, exact: true }).click();
    await page.getByRole('button', { name: later.deleting.yes, exact: true }).click();
    await expect(page.getByText(words.leaving.erasedText)).toBeVisible();
    expect(await databases(laptop)).toEqual([]);
  });

  await test.step('late, the phone learns of it, still reads and writes, and nothing is erased by itself', async () => {
    const { page } = phone;
    await page.goto(served.origin);
    await expect(page.getByText(words.stopped('erased').what).first()).toBeVisible({ timeout: 30_000 });
    await has(phone, 'Cider by the fire', 1);
    await pour(phone, 'Perry in the cellar');
    await page.reload();
    await has(phone, 'Cider by the fire', 1);
    faults.push(...(await faultsOf(phone.page, 'late')));
  });

  await test.step('it takes a file along, then erases itself on the confirmed tap', async () => {
    const { page } = phone;
    await page.goto(`${served.origin}/keeper/export`);
    await page.getByRole('button', { name: later.exporting.make }).tap();
    await expect(page.getByRole('link', { name: /^Save fair-measure-/ })).toBeVisible();
    await page.goto(`${served.origin}/keeper`);
    await page
      .getByRole('button', { name: /^Erase/ })
      .first()
      .tap();
    await page.getByRole('button', { name: later.leaving.eraseYes, exact: true }).first().tap();
    await expect(page.getByText(words.leaving.erasedText)).toBeVisible();
    expect(await databases(phone)).toEqual([]);
  });
  expect(faults).toEqual([]);
  await closeAfterRefusals(laptop);
  await closeAfterRefusals(phone);
});

/** A device that was never let in, with one entry of its own. */
async function alone(browser: Browser, shape: typeof phoneShape, drink: string): Promise<Device> {
  const device = await Device.fresh(browser, shape);
  await device.page.goto(served.origin);
  await pour(device, drink);
  return device;
}

/** Makes the owner’s account by the link of the terminal. */
async function setUp({ page }: Device): Promise<void> {
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

/** Asks for a code in Keeper; the answer is what stands there to be read. */
async function askFor({ page }: Device): Promise<{ code: string; link: string }> {
  await page.goto(`${served.origin}/keeper`);
  await page.getByRole('button', { name: later.adding.act }).click();
  await expect(page.getByRole('img', { name: later.adding.qr })).toBeVisible();
  return { code: await page.getByTestId('code').innerText(), link: await page.getByTestId('pairlink').innerText() };
}

/** The number the new device shows is confirmed on one that is signed in. */
async function letIn(inside: Device, device: Device): Promise<void> {
  await expect(device.page.getByText(words.pair.confirm)).toBeVisible();
  const number = await device.page.getByTestId('code').innerText();
  await inside.page.getByLabel(later.adding.number).fill(number);
  await inside.page.getByRole('button', { name: later.adding.confirm, exact: true }).click();
  await device.agrees();
}

/** A plain drink, by hand. */
async function pour({ page }: Device, name: string): Promise<void> {
  await page.goto(`${served.origin}/pour`);
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

async function databases({ page }: Device): Promise<(string | undefined)[]> {
  return page.evaluate(async () => (await indexedDB.databases()).map(({ name }) => name));
}

/** The browser itself reports each refused request; nothing else may have been said. */
async function closeAfterRefusals(device: Device): Promise<void> {
  await device.context.close();
  expect(device.said.filter((line) => !/status of (401|403|404|409|410|422)/.test(line))).toEqual([]);
}
