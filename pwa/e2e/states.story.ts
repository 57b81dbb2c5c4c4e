import { expect, type Page } from '@playwright/test';
import type { Id, Intent } from '../src/shared/core.ts';
import { later } from '../src/app/words/en/later.ts';
import { words } from '../src/app/words.ts';
import { now } from './clock.ts';
import { Device, laptopShape } from './device.ts';
import { giveHand, type Hand } from './hand.ts';
import { follow, layoutOf, whole } from './screen.ts';
import { Demo } from './server.ts';
import { test } from './story.ts';

let demo: Demo;
test.beforeAll(async () => {
  demo = await Demo.start();
});
test.afterAll(() => demo.remove());
test.describe.configure({ timeout: 480_000 });

// Sixty characters each, most of them words as people write them, one a single word.
const drink = 'Windfall cider punch of the long table under the old pear tr';
const version = 'with the cask-rested pear eau-de-vie of the year before last';
const ingredient = 'juniper-heavy gin with quince, bay leaf and a lemon peel, 47';
const unbroken = 'Quittenbirnenapfelschlehenholunderblütenwacholderweinbrandes';
const comparison = 'which gin and which pear spirit go best with honey and lemon';

/** Does it on the device itself, without a touch. */
async function act(page: Page, intent: Intent): Promise<void> {
  await page.evaluate((it) => (window as unknown as { hand: Hand }).hand.act(it).then(() => null), intent);
}

let made = 0;
const newId = (): Id => `01ZZZZZZZZ${String(++made).padStart(16, '0')}`;
const plain = (name: string, abv_bp: number | null): Intent => ({
  do: 'plain',
  id: newId(),
  name,
  vol_ul: 330_000,
  abv_bp,
});

/** A device of its own, with nothing on it. */
async function begun(page: Page): Promise<void> {
  await giveHand(page);
  await page.goto(`${demo.origin}/week/help`);
  await whole(page);
}

test('a total that is not known, and one that is a least figure, stand in rows of their own', async ({ browser }) => {
  for (const text of [drink, version, ingredient, unbroken, comparison]) expect(text).toHaveLength(60);
  const device = await Device.fresh(browser, laptopShape);
  const { page } = device;
  await begun(page);
  const faults: string[] = [];
  const look = async (name: string, path: string) => {
    await follow(page, path);
    faults.push(...(await layoutOf(page, name)));
  };
  const total = page.getByRole('region', { name: words.tonight.soFar }).locator('p').first();

  await act(page, plain(drink, null));
  await look('tonight-not-known', '/');
  await expect(total).toHaveText(`${words.tonight.dash} ${words.tonight.ofNotKnown}`);
  await expect(page.locator('main')).not.toContainText(words.atLeast('0'));
  await look('journal-not-known', '/journal');
  await look('week-not-known', '/week');
  await look('year-not-known', '/week/year');

  for (let i = 0; i < 8; i++) await act(page, plain(unbroken, 500));
  await look('tonight-at-least', '/');
  await expect(total).toContainText(words.atLeast(''));
  await look('journal-at-least', '/journal');
  await look('week-at-least', '/week');
  expect(faults).toEqual([]);
  await device.close();
});

test('names of sixty characters, and what opens where it stands', async ({ browser }) => {
  const device = await Device.fresh(browser, laptopShape);
  const { page } = device;
  await begun(page);
  const [base, riff, pour, question] = [newId(), newId(), newId(), newId()];
  const lines = (...names: string[]) => names.map((name) => ({ typed: `45 ml ${name}` }));
  await act(page, {
    do: 'spec',
    id: base,
    drink: newId(),
    drink_name: drink,
    name: version,
    method: 'shaken',
    glass: 'coupe',
    garnish: ingredient,
    note: comparison,
    lines: lines(`${ingredient} %`, unbroken, 'lemon juice', 'honey syrup'),
  });
  const view = await page.evaluate((id) => (window as unknown as { hand: Hand }).hand.ask({ q: 'spec', id }), base);
  const [gin, word] = view.lines.map((line) => line.id);
  if (!gin || !word) throw new Error('the spec has no lines');
  await act(page, {
    do: 'spec',
    id: riff,
    drink: view.drink ?? '',
    name: unbroken,
    parent: base,
    method: 'shaken',
    lines: lines(`${ingredient} %`, 'gin, 44 %', 'lemon juice', 'honey syrup'),
  });
  await act(page, { do: 'bottle', id: newId(), name: unbroken, size_ul: 700_000, price_minor: 3490, currency: 'EUR' });
  await act(page, {
    do: 'bottle',
    id: newId(),
    name: ingredient,
    abv_bp: 4700,
    size_ul: 700_000,
    opened_on: '2026-01-02',
  });
  await act(page, { do: 'pour', id: pour, spec: base, score_x10: 75, note: comparison });
  await act(page, {
    do: 'compare',
    id: question,
    base,
    lines: [gin, word],
    name: comparison,
    candidates: [
      { line: gin, name: unbroken },
      { line: gin, name: version },
      { line: word, name: drink },
    ],
  });

  const faults: string[] = [];
  const look = async (name: string, path: string, open?: () => Promise<void>) => {
    await follow(page, path);
    const put =
      open &&
      (async () => {
        await follow(page, path);
        await open();
      });
    faults.push(...(await layoutOf(page, name, put)));
  };
  const press = (name: string | RegExp) => page.getByRole('button', { name }).first().click();
  const pages: Record<string, string> = {
    tonight: '/',
    journal: '/journal',
    pour: `/journal/${pour}`,
    specs: '/specs',
    spec: `/specs/${base}`,
    'spec-riff': `/specs/${riff}`,
    'editor-edit': `/specs/${base}/edit`,
    'editor-riff': `/specs/${base}/riff`,
    swap: `/specs/${base}/swap`,
    'swap-line': `/specs/${base}/swap/${gin}`,
    touch: `/specs/${base}/touch`,
    difference: `/specs/${base}/difference/${riff}`,
    batch: `/specs/${base}/batch`,
    chooser: '/pour',
    sheet: `/pour/${base}`,
    log: '/pour/log',
    guess: '/pour/guess',
    bottles: '/bottles',
    making: '/making',
    syrup: '/making/syrup',
    infusion: '/making/infusion',
    cut: '/making/cut',
    side: '/side',
    'side-new': '/side/new',
    compared: `/side/${question}`,
    'side-add': `/side/${question}/add`,
    next: `/side/${question}/next`,
    trial: `/side/${question}/trial`,
    settings: '/keeper/settings',
    export: '/keeper/export',
    file: '/keeper/bring-file',
    trash: '/keeper/trash',
    calibration: '/keeper/calibration',
    'sign-in': '/sign-in',
  };
  for (const [name, path] of Object.entries(pages)) await look(`long-${name}`, path);

  await look('open-line', `/specs/${riff}`, () => press(/lemon juice$/));
  await look('open-name', `/specs/${riff}`, () => press(later.spec.rename));
  await look('open-bottle', '/bottles', async () => {
    await press(later.bottles.act);
    await page.getByLabel(later.bottles.size, { exact: true }).fill('much');
    await press(later.bottles.save);
    await expect(page.getByText(later.bottles.needName)).toBeVisible();
  });
  await look('open-bottle-saved', '/bottles', async () => {
    await press(later.bottles.act);
    await page.getByLabel(later.bottles.name, { exact: true }).fill(unbroken);
    await page.getByLabel(later.bottles.size, { exact: true }).fill('700'); // what was typed before is kept
    await press(later.bottles.save);
    await expect(page.getByText(later.bottles.saved(unbroken))).toBeVisible();
  });
  await act(page, plain(drink, 500));
  await look('open-sessions', '/journal', () => press(later.pour.sessionMove));
  await look('open-sooner', '/pour', () => press(words.when.lastNight));
  await act(page, { do: 'delete', id: pour });
  await look('open-erase', '/keeper/trash', () => press(/^Erase/));
  await look('open-adjust', `/specs/${base}`, () => press(later.adjust.act));
  expect(faults).toEqual([]);
  await device.close();
});

test('three thousand pours', async ({ browser }) => {
  const device = await Device.fresh(browser, laptopShape);
  const { page } = device;
  await begun(page);
  const [base, question] = [newId(), newId()];
  await act(page, {
    do: 'spec',
    id: base,
    drink: newId(),
    drink_name: 'Orchard Sour',
    method: 'shaken',
    lines: [{ typed: '45 ml gin, 44 %' }, { typed: '20 ml lemon juice' }],
  });
  const count = await page.evaluate(
    async ({ base, question, now }) => {
      const { ask, act } = (window as unknown as { hand: Hand }).hand;
      const { lines } = await ask({ q: 'spec', id: base });
      await act({
        do: 'compare',
        id: question,
        base,
        lines: lines.slice(0, 1).map(({ id }) => id),
        candidates: [{ line: lines[0]?.id ?? '', name: 'soft floral gin' }],
      });
      const night = 86_400_000;
      let made = 0;
      for (let i = 1; i <= 150; i++) {
        const from = now - i * 2 * night;
        const id = `01YYYYYYYY${String(i).padStart(16, '0')}`;
        await act({
          do: 'several',
          id,
          n: 20,
          first_at_ms: from,
          last_at_ms: from + 10_000_000,
          offset_min: 0,
          spec: base,
          share_bp: 2500,
        });
        made += 20;
      }
      return made;
    },
    { base, question, now: now() },
  );
  expect(count).toBe(3000);
  const faults: string[] = [];
  const pages: Record<string, string> = {
    tonight: '/',
    journal: '/journal',
    specs: '/specs',
    spec: `/specs/${base}`,
    bottles: '/bottles',
    week: '/week',
    four: '/week/four',
    year: '/week/year',
    side: '/side',
    compared: `/side/${question}`,
    settings: '/keeper',
  };
  for (const [name, path] of Object.entries(pages)) {
    await follow(page, path);
    faults.push(...(await layoutOf(page, `many-${name}`)));
  }
  expect(faults).toEqual([]);
  await device.close();
});
