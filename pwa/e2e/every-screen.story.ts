import { expect } from '@playwright/test';
import { words } from '../src/app/words.ts';
import { Device, laptopShape } from './device.ts';
import { drawn, faultsOf, follow } from './screen.ts';
import { Demo } from './server.ts';
import { test } from './story.ts';

let demo: Demo;
test.beforeAll(async () => {
  demo = await Demo.start();
});
test.afterAll(() => demo.remove());
test.describe.configure({ timeout: 480_000 });

test('every page of a journal in use: no fault for axe, a clean console, nothing beyond the edge at any size', async ({
  browser,
}) => {
  const device = await Device.laptop(browser, demo);
  const { page } = device;
  /** The address a link of a page leads to. */
  const link = async (at: string, selector: string, text?: RegExp): Promise<string> => {
    await page.goto(demo.origin + at);
    await drawn(page);
    const found = page.locator(selector);
    return (await (text ? found.filter({ hasText: text }) : found).first().getAttribute('href')) ?? '';
  };
  await page.setViewportSize({ width: 390, height: 844 });
  const unpoured = await link('/specs', 'a[href^="/specs/"]', /Bitter: gentian/);
  const benchmark = await link('/specs', 'a[href^="/specs/"]', /benchmark/);
  const riff = await link('/specs', 'a[href^="/specs/"]', /soft floral gin/);
  const pour = await link('/', 'a[href^="/journal/"]');
  const plain = await link('/journal', 'a[href^="/journal/"]', /^Pint$/);
  const clash = await link('/keeper', 'a[href^="/clash/"]');
  const pages: Record<string, string> = {
    tonight: '/',
    'pour-what': '/pour',
    sheet: benchmark.replace('/specs/', '/pour/'),
    journal: '/journal',
    pour,
    'pour-plain': plain,
    'pour-disputed': clash.replace('/clash/', '/journal/'),
    specs: '/specs',
    spec: benchmark,
    'spec-riff': riff,
    'spec-unpoured': unpoured,
    'editor-new': '/specs/new',
    'editor-edit': `${unpoured}/edit`,
    'editor-edit-poured': `${benchmark}/edit`,
    'editor-riff': `${benchmark}/riff`,
    batch: `${benchmark}/batch`,
    bottles: '/bottles',
    making: '/making',
    syrup: '/making/syrup',
    infusion: '/making/infusion',
    cut: '/making/cut',
    calibration: '/keeper/calibration',
    week: '/week',
    side: '/side',
    keeper: '/keeper',
    clash,
    pair: '/pair',
    'not-found': '/nowhere/at/all',
    'spec-not-there': '/specs/01ARZ3NDEKTSV4RRFFQ69G5FAV',
  };
  const faults: string[] = [];
  await page.goto(demo.origin);
  for (const [name, path] of Object.entries(pages)) {
    await follow(page, path);
    faults.push(...(await faultsOf(page, name)));
  }
  expect(faults).toEqual([]);
  await device.close();
});

test('every page before the first entry: the same', async ({ browser }) => {
  const device = await Device.fresh(browser, laptopShape);
  const { page } = device;
  const pages: Record<string, string> = {
    'first-tonight': '/',
    'first-pour-what': '/pour',
    'first-journal': '/journal',
    'first-specs': '/specs',
    'first-bottles': '/bottles',
    'first-making': '/making',
    'first-syrup': '/making/syrup',
    'first-infusion': '/making/infusion',
    'first-calibration': '/keeper/calibration',
    'first-week': '/week',
    'first-side': '/side',
    'first-keeper': '/keeper',
  };
  const faults: string[] = [];
  await page.goto(demo.origin);
  for (const [name, path] of Object.entries(pages)) {
    await follow(page, path);
    faults.push(...(await faultsOf(page, name)));
  }
  await page.goto(`${demo.origin}/`);
  await expect(page.getByText(words.first.caution)).toBeVisible();
  expect(faults).toEqual([]);
  await device.close();
});
