import { expect } from '@playwright/test';
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

const parts: Readonly<Record<string, number>> = {
  '⅛': 1 / 8,
  '¼': 1 / 4,
  '⅜': 3 / 8,
  '½': 1 / 2,
  '⅝': 5 / 8,
  '¾': 3 / 4,
};

/** Millilitres at the head of a typed line, "15 ml honey syrup" or "½ oz honey syrup"; the demo's ounce is the bar's, 30 ml. */
function mlOf(typed: string): number {
  const [, whole = '', part = '', unit] = /^(\d+(?:\.\d+)?)? ?([⅛¼⅜½⅝¾])? ?(ml|oz) /.exec(typed) ?? [];
  const amount = Number(whole || 0) + (parts[part] ?? 0);
  if (!unit || amount === 0) throw new Error(`no amount in ${typed}`);
  return amount * (unit === 'oz' ? 30 : 1);
}

test('another sweetener by equal sugar: weighed before anything is saved, a riff, seen line by line, undone', async ({
  browser,
}) => {
  const phone = await Device.phone(browser, demo);
  const { page } = phone;
  await page.getByRole('link', { name: words.rooms.specs }).tap();
  await page
    .getByRole('link', { name: new RegExp(`^${words.specs.benchmark}`) })
    .first()
    .tap();
  await expect(page.getByRole('heading', { level: 1 })).toHaveText('Orchard Sour');
  const spec = new URL(page.url()).pathname;
  const why = page.getByText(/^Why sugar is/);
  await why.tap();
  const share = page.locator('details[open] dt', { hasText: 'honey syrup' });
  const ofHoney = Number.parseFloat(await share.locator('xpath=following-sibling::dd[1]').innerText());
  await page.getByRole('link', { name: later.otherwise.swap }).tap();
  const honey = page.getByRole('link', { name: /honey syrup/ });
  const was = (await honey.innerText()).replaceAll('\u00a0', ' ');
  await honey.tap();
  await phone.watchSaves();
  const queued = (await phone.queue()).length;

  const sugar = await test.step('the sugar each holds is shown, and the way keeps it', async () => {
    await page.getByLabel(words.find, { exact: true }).fill('agave');
    const choice = page.getByRole('button', { name: /agave/i }).first();
    const held = Number(/sugar ([\d.]+) g/.exec(await choice.innerText())?.[1]);
    await choice.tap();
    await expect(page.getByRole('heading', { name: later.swap.way.equal_sugar, exact: true })).toBeVisible();
    return held;
  });
  const way = page
    .getByRole('article')
    .filter({ has: page.getByRole('heading', { name: later.swap.way.equal_sugar, exact: true }) });
  const changed = (await way.getByTestId('changes').getByRole('listitem').first().innerText()).replaceAll(
    '\u00a0',
    ' ',
  );
  const poured = changed.split(' → ')[1] ?? '';
  expect(poured).toMatch(/agave/i);
  // By hand: the agave poured holds as many grams as the honey syrup did, to half of the eighth of an ounce it is poured to.
  const step = ((30 / 8 / 2) * sugar) / 100;
  expect(Math.abs((mlOf(poured) * sugar) / 100 - ofHoney)).toBeLessThanOrEqual(step + 0.05);
  // And so does the whole glass: what it holds of sugar, now and then, by its strength in sugar and its volume.
  const cells = async (key: 'sugar_g_per_100ml' | 'volume_ml') => {
    const row = way.getByRole('row', { name: new RegExp(`^${words.balance.label[key]}`) });
    const all = await row.getByRole('cell').allInnerTexts();
    return all.map((text) => Number.parseFloat(text));
  };
  const [sugarNow = 0, sugarThen = 0] = await cells('sugar_g_per_100ml');
  const [volumeNow = 0, volumeThen = 0] = await cells('volume_ml');
  expect(sugarNow * volumeNow).toBeGreaterThan(0);
  const rounding = (0.05 * 2 * volumeNow + 0.5 * 2 * sugarNow) / 100; // 0.05 g/100 ml and half a millilitre, each twice
  expect(Math.abs(sugarThen * volumeThen - sugarNow * volumeNow) / 100).toBeLessThanOrEqual(step + rounding);
  expect(await phone.queue()).toHaveLength(queued); // looking saved nothing

  const riff = await test.step('it is saved as a riff, and the page goes there', async () => {
    const save = await phone.saving(
      () => way.getByRole('button', { name: later.otherwise.saveWhat(later.swap.way.equal_sugar) }).tap(),
      later.otherwise.saved,
    );
    const made = save.actions.at(-1)?.edits.find(({ kind }) => kind === 'spec');
    expect(made?.set.parent).toBe(spec.split('/').at(-1));
    await expect(page).toHaveURL(`${demo.origin}/specs/${made?.id}`);
    await expect(page.getByRole('button', { name: words.spec.changeLine(poured) })).toBeVisible();
    return made?.id ?? '';
  });

  await test.step('line by line: the honey and the agave are the one change', async () => {
    await page.getByRole('link', { name: later.otherwise.difference }).tap();
    await expect(page.getByLabel(later.difference.second)).toHaveValue(spec.split('/').at(-1) ?? '');
    const table = page.getByRole('table', { name: later.difference.table });
    const changes = table.getByRole('row').filter({ hasText: later.difference.sort.changed });
    await expect(changes).toHaveCount(1);
    const text = (await changes.innerText()).replaceAll('\u00a0', ' ');
    expect(text).toContain('agave');
    expect(text).toContain(was.replace(/^.*? (?=honey)/, ''));
    await expect(table.getByRole('row').filter({ hasText: later.difference.sort[''] })).not.toHaveCount(0);
  });

  await test.step('undone, it is among the versions no more', async () => {
    await page.goBack();
    await page.getByRole('button', { name: words.undo }).tap();
    await expect(page.getByText(words.undone(1))).toBeVisible();
    await page.getByRole('link', { name: words.rooms.specs }).tap();
    await expect(page.locator(`a[href="${spec}"]`)).toBeVisible();
    await expect(page.locator(`a[href="/specs/${riff}"]`)).toHaveCount(0);
  });
  await phone.close();
});
