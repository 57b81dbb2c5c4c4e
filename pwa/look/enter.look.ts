import { expect, type Page, test } from '@playwright/test';
import type { ApiAnswer } from '../src/shared/messages.ts';
import type { Stage } from './fake-worker.ts';
import { stagePath } from './serve.ts';

const stage: Stage = {
  scene: 'empty',
  sync: { state: 'local', unsent: 0, unreadable: 0, online: true, code: null, last_ms: null, clock_off_ms: 0 },
  journal: { id: '00', paired: null, apart: 0, undecided: 0 },
  wait: 0,
  broken: '',
  api: {},
  bringing: null,
};

async function open(page: Page, path: string, api: Record<string, ApiAnswer>, more: Partial<Stage> = {}) {
  await page.addInitScript(`globalThis.stage = ${JSON.stringify({ ...stage, api, ...more })}`);
  await page.addInitScript({ path: stagePath });
  await page.addInitScript("try { localStorage.setItem('adult', 'yes') } catch {}");
  await page.goto(path);
}

/** What the form sent last. */
const entered = (page: Page) => page.evaluate(() => (globalThis as unknown as { entered?: unknown }).entered);

const key = 'abcdefghijklmnopqrstuvwxyz234567';
const gone: ApiAnswer = { status: 0, body: null };

test('set-up sends the name composed and tidy, and the password to the last space', async ({ page }) => {
  await open(page, `/setup#key=${key}`, { 'enter setup': gone });
  const name = page.getByLabel('Name', { exact: true });
  const password = page.getByLabel('Password', { exact: true });
  expect(page.url()).not.toContain('key');
  await expect(page.getByLabel('Set-up key')).toHaveCount(0);
  await expect(name).toHaveAttribute('autocomplete', 'username');
  await expect(password).toHaveAttribute('autocomplete', 'new-password');
  await name.fill('  Zoe\u0308 ');
  await password.fill('  four quiet words ');
  await page.getByLabel('Name of this device').fill(' Bar phone ');
  await password.press('Enter');
  await expect(page.getByRole('alert')).toContainText('did not answer');
  expect(await entered(page)).toEqual({
    call: 'enter',
    path: 'setup',
    body: { key, name: 'Zo\u00eb', password: '  four quiet words ', device: 'Bar phone' },
  });
  await expect(password).toHaveValue('  four quiet words ');
});

test('a password is shown and hidden by its button, and hidden when it is sent', async ({ page }) => {
  await open(page, '/sign-in', { 'enter sign-in': gone });
  const password = page.getByLabel('Password', { exact: true });
  await page.getByLabel('Name', { exact: true }).fill('Bar');
  await password.fill('four quiet words');
  await expect(password).toHaveAttribute('type', 'password');
  await expect(password).toHaveAttribute('autocomplete', 'current-password');
  await page.getByRole('button', { name: 'Show password' }).click();
  await expect(password).toHaveAttribute('type', 'text');
  await expect(password).toHaveValue('four quiet words');
  await page.getByRole('button', { name: 'Sign in', exact: true }).click();
  await expect(password).toHaveAttribute('type', 'password');
});

test('what is missing is said at its field, and nothing is sent', async ({ page }) => {
  await open(page, '/sign-in', {});
  await page.getByRole('button', { name: 'Sign in', exact: true }).click();
  const name = page.getByLabel('Name', { exact: true });
  await expect(name).toBeFocused();
  await expect(name).toHaveAttribute('aria-invalid', 'true');
  await expect(name).toHaveAccessibleDescription('Write the name.');
  await expect(page.getByLabel('Password', { exact: true })).toHaveAccessibleDescription('Write the password.');
  expect(await entered(page)).toBeUndefined();
});

test('a wait is told, and told to be over', async ({ page }) => {
  await open(page, '/sign-in', {
    'enter sign-in': { status: 429, body: { code: 'too_many_tries', retry_s: 2 } },
  });
  await page.getByLabel('Name', { exact: true }).fill('Bar');
  await page.getByLabel('Password', { exact: true }).fill('four quiet words');
  await page.getByRole('button', { name: 'Sign in', exact: true }).click();
  await expect(page.getByRole('alert')).toHaveText('Too many wrong tries. Try again in 2 seconds.');
  await expect(page.getByText('The wait is over. Try again.')).toBeVisible();
  await expect(page.getByRole('alert')).toHaveCount(0);
});

for (const [undecided, path] of [
  [0, '/'],
  [2, '/bring'],
] as const) {
  test(`with ${undecided} entries undecided, signing in leads to ${path} and back never to the form`, async ({
    page,
  }) => {
    const paired = { account: 'Bar', device: '01', name: 'Laptop', role: 'owner' as const, has_password: true };
    await open(
      page,
      '/sign-in',
      { 'enter sign-in': { status: 200, body: {} } },
      { journal: { id: '00', paired, apart: undecided, undecided } },
    );
    await page.getByLabel('Password', { exact: true }).fill('four quiet words');
    await page.getByRole('button', { name: 'Sign in', exact: true }).click();
    await expect(page.getByRole('heading', { level: 1 })).toHaveText(undecided > 0 ? 'From before' : 'Tonight');
    expect(new URL(page.url()).pathname).toBe(path);
    expect(await page.evaluate(() => history.length)).toBeLessThanOrEqual(2);
  });
}

test('a device code typed as an invitation is taken to its own form', async ({ page }) => {
  await open(page, '/join', { 'enter join': { status: 422, body: { code: 'not_invitation' } } });
  await page.getByLabel('Invitation code').fill('abcdefghjkmn');
  await page.getByLabel('Name', { exact: true }).fill('Bar');
  await page.getByLabel('Password', { exact: true }).fill('four quiet words');
  await page.getByRole('button', { name: 'Join', exact: true }).click();
  await page.getByRole('button', { name: 'Use the code to let this device in' }).click();
  await expect(page.getByLabel('Code', { exact: true })).toHaveValue('ABCD-EFGH-JKMN');
});

test('a link pasted over an open page is taken out of the address too', async ({ page }) => {
  await open(page, '/setup', {});
  await expect(page.getByLabel('Set-up key')).toBeVisible();
  await page.evaluate((fragment) => {
    location.hash = fragment;
  }, `key=${key}`);
  await expect(page.getByLabel('Set-up key')).toHaveCount(0);
  expect(page.url()).not.toContain('key');
});
