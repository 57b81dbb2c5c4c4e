import { type ChildProcess, spawn } from 'node:child_process';
import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { type Browser, chromium, expect, type Page } from '@playwright/test';
import { words } from '../src/app/words.ts';
import { Clock } from './clock.ts';
import { grown } from './device.ts';
import { Demo } from './server.ts';
import { test } from './story.ts';
import { watch } from './watch.ts';

let demo: Demo;
let profile: string;
test.beforeEach(({ context }) => grown(context));
test.beforeEach(async () => {
  demo = await Demo.start();
  profile = await mkdtemp(join(tmpdir(), 'fairmeasure-profile-'));
});
test.afterEach(async () => {
  await demo.remove();
  await rm(profile, { recursive: true, force: true });
});

test('the browser finds nothing that keeps the app from being installed', async ({ launchOptions }) => {
  // An ordinary context of a story counts as a private window, where nothing is ever installable.
  const context = await chromium.launchPersistentContext(profile, launchOptions);
  await Clock.of(context);
  await grown(context);
  const said = watch(context);
  const page = context.pages()[0] ?? (await context.newPage());
  await page.goto(demo.open);
  await expect(page.getByTestId('state')).toHaveText(words.state.synced);
  await page.evaluate(() => navigator.serviceWorker.ready.then(() => true));
  const cdp = await context.newCDPSession(page);
  expect((await cdp.send('Page.getAppManifest')).errors).toEqual([]);
  expect((await cdp.send('Page.getInstallabilityErrors')).installabilityErrors).toEqual([]);
  await context.close();
  expect(said).toEqual([]);
});

test('the tab that runs the core is closed in the middle of things: the other goes on, and both told the same', async ({
  context,
}) => {
  const said = watch(context);
  const first = await context.newPage();
  await first.goto(demo.open);
  await expect(first.getByTestId('state')).toHaveText(words.state.synced);
  const second = await context.newPage();
  await second.goto(demo.origin);
  const rows = (page: Page) => page.getByTestId('evening').getByRole('listitem');
  await expect(rows(second)).toHaveCount(2);

  // An edit in one shows in the other.
  await first.getByRole('button', { name: words.tonight.same }).click();
  await expect(first.getByText(words.tonight.poured('Orchard Sour'))).toBeVisible();
  await expect(rows(second)).toHaveCount(3);

  // What was asked of the first is still on its way when it goes.
  await second.getByRole('button', { name: words.tonight.addWater }).click();
  await first.close();
  await expect(second.getByText(words.tonight.waterSaved)).toBeVisible();
  await expect(second.getByText(/^500\sml$/)).toBeVisible(); // the demo's glass and this one, once
  await second.getByRole('button', { name: words.tonight.same }).click();
  await expect(rows(second)).toHaveCount(4);
  await expect(second.getByTestId('state')).toHaveText(words.state.synced);
  await second.reload();
  await expect(rows(second)).toHaveCount(4);
  await expect(second.getByText(/^500\sml$/)).toBeVisible();
  expect(said).toEqual([]);
});

/** A browser of its own process, which a story may end as a flat battery would. */
class OwnBrowser {
  readonly browser: Browser;
  readonly page: Page;
  readonly #child: ChildProcess;

  private constructor(browser: Browser, page: Page, child: ChildProcess) {
    this.browser = browser;
    this.page = page;
    this.#child = child;
  }

  static async start(folder: string, path: string, args: readonly string[]): Promise<OwnBrowser> {
    await rm(join(folder, 'DevToolsActivePort'), { force: true });
    const child = spawn(
      path,
      [...args, '--headless=new', '--remote-debugging-port=0', `--user-data-dir=${folder}`, 'about:blank'],
      { stdio: 'ignore', detached: true, env: { ...process.env, TZ: 'Europe/Berlin', LANGUAGE: 'en_GB' } },
    );
    let port = '';
    await expect
      .poll(
        async () =>
          (port = (await readFile(join(folder, 'DevToolsActivePort'), 'utf8').catch(() => '')).split('\n')[0] ?? ''),
      )
      .toMatch(/^\d+$/);
    const browser = await chromium.connectOverCDP(`http://127.0.0.1:${port}`);
    const context = browser.contexts()[0];
    if (!context) throw new Error('the browser has no window');
    await Clock.of(context);
    await grown(context);
    return new OwnBrowser(browser, context.pages()[0] ?? (await context.newPage()), child);
  }

  /** All its processes at once, with no word to any. */
  async kill(): Promise<void> {
    const ended = new Promise((resolve) => this.#child.once('exit', resolve));
    if (this.#child.pid !== undefined) process.kill(-this.#child.pid, 'SIGKILL');
    await ended;
    await this.browser.close().catch(() => undefined);
  }
}

test('the browser is killed the moment it says "Saved": what was saved is there afterwards, each time', async ({
  launchOptions,
}) => {
  const path = launchOptions.executablePath;
  if (!path) throw new Error('the configuration names no browser');
  const start = () => OwnBrowser.start(profile, path, launchOptions.args ?? []);
  const saved: string[] = [];
  let own = await start();
  await own.page.goto(demo.open);
  await expect(own.page.getByTestId('state')).toHaveText(words.state.synced);
  await own.page.evaluate(() => navigator.serviceWorker.ready.then(() => true));
  await demo.stop(); // nothing that is lost here could come back from there
  try {
    for (let n = 1; n <= 5; n++) {
      const name = `Cordial number ${n}`;
      await own.page.goto(`${demo.origin}/pour`);
      await own.page.getByLabel(words.sheet.otherName).fill(name);
      await own.page.getByLabel(words.sheet.otherVolume).fill('200');
      await own.page.getByLabel(words.sheet.otherStrength).fill('0');
      await own.page.getByRole('button', { name: words.sheet.pourOther }).click();
      await own.page.getByText(words.tonight.poured(name)).waitFor();
      await own.kill();
      saved.push(name);
      own = await start();
      await own.page.goto(`${demo.origin}/journal`);
      for (const each of saved) await expect(own.page.getByRole('link', { name: each, exact: true })).toHaveCount(1);
    }
  } finally {
    await own.kill();
  }
});
