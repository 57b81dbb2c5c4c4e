import { existsSync } from 'node:fs';
import { availableParallelism } from 'node:os';
import { defineConfig } from '@playwright/test';

/** A browser that is there; none is ever downloaded. */
function browser(): string {
  const own = process.env.FAIRMEASURE_BROWSER;
  const known = own
    ? [own]
    : ['/usr/bin/chromium', '/usr/bin/google-chrome', '/usr/bin/chromium-browser', '/opt/google/chrome/chrome'];
  const found = known.find((path) => existsSync(path));
  if (!found) {
    throw new Error(`no browser at ${known.join(', ')}: install Chromium, or name one in FAIRMEASURE_BROWSER`);
  }
  return found;
}

export default defineConfig({
  testDir: 'e2e',
  testMatch: '*.story.ts',
  outputDir: 'test-results',
  fullyParallel: false,
  workers: Math.max(1, Math.floor(availableParallelism() / 2)), // a story with its server and two devices fills two cores
  retries: 1, // a real browser has its moods; a story that needed the second try is listed as flaky
  forbidOnly: true,
  timeout: 180_000, // two devices on a busy machine
  expect: { timeout: 10_000 },
  reporter: [['list']],
  use: {
    viewport: { width: 390, height: 844 },
    locale: 'en-GB',
    timezoneId: 'Europe/Berlin',
    screenshot: 'only-on-failure',
    actionTimeout: 20_000,
    launchOptions: {
      executablePath: browser(),
      args: [
        '--no-sandbox',
        '--js-flags=--wasm-tiering-budget=200000000', // a story ends before optimising most of the core pays
        '--disable-gpu',
        '--disable-quic',
        '--no-first-run',
        '--disable-background-networking',
        '--disable-component-update',
        '--disable-sync',
      ],
    },
  },
});
