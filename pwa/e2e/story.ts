/** What every story takes its `test` from: each begins at the same moment, and each browser it opens goes by that. */
import { test as bare } from '@playwright/test';
import { begin, Clock } from './clock.ts';

export const test = bare.extend<{ clock: void }, object>({
  clock: [
    async ({}, use) => {
      begin();
      await use();
    },
    { auto: true },
  ],
  browser: [
    async ({ browser }, use) => {
      const plain = browser.newContext.bind(browser);
      browser.newContext = async (options) => {
        const context = await plain(options);
        await Clock.of(context);
        return context;
      };
      await use(browser);
    },
    { scope: 'worker' },
  ],
});
