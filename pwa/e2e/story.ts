/** What every story takes its `test` from: all take place on one evening, and each browser that one opens goes by that. */
import { test as bare } from '@playwright/test';
import { Clock, goOn } from './clock.ts';

export const test = bare.extend<{ clock: void }, object>({
  clock: [
    async ({}, use) => {
      await use();
      goOn();
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
