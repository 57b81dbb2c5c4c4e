import { defineConfig } from '@playwright/test';

/** The screens on invented answers: pictures to look at, and what can be checked of them without the core. */
export default defineConfig({
  testDir: 'look',
  testMatch: '*.look.ts',
  globalSetup: './look/serve.ts',
  workers: 2,
  fullyParallel: true,
  reporter: 'line',
  use: {
    baseURL: 'http://127.0.0.1:4199',
    locale: 'en-GB',
    timezoneId: 'Australia/Sydney',
    launchOptions: {
      ...(process.env.CHROMIUM === '' ? {} : { executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium' }),
      args: [
        '--no-sandbox',
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
