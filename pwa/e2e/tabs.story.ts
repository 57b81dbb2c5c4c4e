import { expect, type Page } from '@playwright/test';
import { words } from '../src/app/words.ts';
import { grown } from './device.ts';
import { Demo } from './server.ts';
import { test } from './story.ts';
import { watch } from './watch.ts';

let demo: Demo;
test.beforeAll(async () => {
  demo = await Demo.start();
});
test.afterAll(() => demo.remove());

/** Logs another drink by hand and waits for the word that it is on disk. */
async function pour(page: Page, name: string): Promise<void> {
  await page.goto(`${demo.origin}/pour`);
  await page.getByLabel(words.sheet.otherName).fill(name);
  await page.getByLabel(words.sheet.otherVolume).fill('200');
  await page.getByRole('button', { name: words.sheet.pourOther }).click();
  await expect(page.getByText(words.tonight.poured(name))).toBeVisible();
}

/** Keeps the worker of a page busy, as a frozen tab's is: it hears nothing and answers nothing for so long. */
function freeze(page: Page, ms: number): Promise<unknown> {
  const worker = page.workers()[0];
  if (!worker) throw new Error('the page has no worker');
  return worker.evaluate((stop) => {
    const until = performance.now() + stop;
    while (performance.now() < until);
  }, ms);
}

/** All is sent, and nothing was written for a while. */
async function atRest(page: Page): Promise<void> {
  await expect(page.getByTestId('state')).toHaveText(words.state.synced);
  let before = -1;
  const rests = async () => {
    const rev = await page.evaluate(async () => {
      const done = <T>(request: IDBRequest<T>) =>
        new Promise<T>((resolve, reject) => {
          request.onsuccess = () => resolve(request.result);
          request.onerror = () => reject(request.error ?? new Error('IndexedDB'));
        });
      const device = await done(indexedDB.open('device'));
      const journal: string = await done(device.transaction('meta').objectStore('meta').get('open'));
      device.close();
      const db = await done(indexedDB.open(`journal.${journal}`));
      const rev = Number(await done(db.transaction('meta').objectStore('meta').get('rev')));
      db.close();
      return rev;
    });
    const same = rev === before;
    before = rev;
    return same;
  };
  await expect.poll(rests, { intervals: [1500] }).toBe(true);
}

test.beforeEach(({ context }) => grown(context));
test('two tabs share one core; when the tab that runs it is frozen the other goes on, and nothing is lost', async ({
  context,
}) => {
  const said = watch(context);
  const first = await context.newPage();
  await first.goto(demo.open);
  await expect(first.getByTestId('state')).toHaveText(words.state.synced);
  const second = await context.newPage();
  await pour(second, 'Cider by the fire'); // the first tab's core writes it
  await expect(first.getByRole('link', { name: 'Cider by the fire' })).toBeVisible(); // and its page shows it without being touched

  // A tab that falls asleep in the middle of a write holds the disk until it wakes; that is the browser's, not ours.
  await atRest(second);

  let awake = false;
  const frozen = freeze(first, 20_000).then(() => {
    awake = true;
  });
  await pour(second, 'Perry while the other sleeps');
  expect(awake).toBe(false); // the second tab did not wait for the first
  await frozen;
  await pour(first, 'Cordial after waking');

  for (const page of [first, second]) {
    await page.goto(`${demo.origin}/journal`);
    for (const name of ['Cider by the fire', 'Perry while the other sleeps', 'Cordial after waking']) {
      await expect(page.getByRole('link', { name })).toHaveCount(1);
    }
    await expect(page.getByTestId('state')).toHaveText(words.state.synced);
  }
  expect(said).toEqual([]);
});
