/** Keeper and its pages, as they stand for an owner, a member and someone whose names are long. */
import { expect } from '@playwright/test';
import type { Stage } from './fake-worker.ts';
import type { Screen } from './screen.ts';

const owner = { account: 'Bar', device: '01', name: 'bar phone', role: 'owner' as const, has_password: true };
const journal: Stage['journal'] = { id: '00', paired: owner, apart: 0, undecided: 0 };
const stopped = (code: string, unsent: number): Stage['sync'] => ({
  state: 'stopped',
  unsent,
  unreadable: 0,
  online: true,
  code,
  last_ms: Date.UTC(2026, 4, 15, 12, 4),
  clock_off_ms: 0,
});
const long = 'Wilhelmine Theodora from the orchard side';
const answer = (body: object, status = 200) => ({ status, body });

const devices = answer({
  devices: [
    {
      id: '01',
      name: 'bar phone',
      created_ms: Date.UTC(2026, 2, 1, 9),
      last_seen_ms: Date.UTC(2026, 4, 15, 12),
      last_address: '192.0.2.7',
      this: true,
    },
    {
      id: '02',
      name: `${long}, laptop`,
      created_ms: Date.UTC(2026, 2, 2, 20, 15),
      last_seen_ms: Date.UTC(2026, 4, 14, 22),
      last_address: '2001:db8:1234:5678:9abc:def0:1234:5678',
      this: false,
    },
    {
      id: '03',
      name: 'lost tablet',
      created_ms: Date.UTC(2026, 1, 2),
      ended_ms: Date.UTC(2026, 4, 1),
      end: 'reused',
      this: false,
    },
    { id: '04', name: 'old phone', created_ms: 1, ended_ms: Date.UTC(2026, 1, 1), end: 'revoked', this: false },
  ],
});
const quietDevices = answer({ devices: (devices.body as { devices: object[] }).devices.filter((_, i) => i !== 2) });

const events = answer({
  events: [
    { at_ms: Date.UTC(2026, 4, 15, 12), what: 'reused', device: '03', name: 'lost tablet', address: '203.0.113.9' },
    { at_ms: Date.UTC(2026, 4, 15, 11), what: 'sign_in_failed', address: '2001:db8:1234:5678:9abc:def0:1234:5678' },
    { at_ms: Date.UTC(2026, 4, 14, 22), what: 'renamed', device: '02', name: `${long}, laptop`, by: '01' },
    { at_ms: Date.UTC(2026, 4, 14, 21), what: 'admitted', device: '02', name: 'kitchen laptop', by: '01' },
    { at_ms: Date.UTC(2026, 4, 2, 20), what: 'password_changed', device: '01', name: 'bar phone' },
    { at_ms: Date.UTC(2026, 4, 1, 20), what: 'moved_house', device: '01', name: 'bar phone' },
    ...Array.from({ length: 60 }, (_, i) => ({
      at_ms: Date.UTC(2026, 3, 30) - i * 3_600_000,
      what: 'signed_in',
      device: '01',
      name: 'bar phone',
      address: '192.0.2.7',
    })),
  ],
});
const accounts = answer({
  accounts: [
    { name: 'Bar', role: 'owner', created_ms: 1, last_seen_ms: Date.UTC(2026, 4, 15, 12), devices: 3 },
    { name: long, role: 'member', created_ms: 1, last_seen_ms: Date.UTC(2026, 4, 12, 20), devices: 1 },
    { name: 'Pip', role: 'member', created_ms: 1, last_seen_ms: 0, devices: 0 },
  ],
});
const until = Date.UTC(2026, 4, 16, 12);
const invitations = answer({ invitations: [{ id: 'a', expires_ms: until }] });
const invited = answer({ id: 'b', code: 'ABCD-EFGH-JKMN', expires_ms: until });

const api: Stage['api'] = {
  'GET /api/v1/auth/devices': quietDevices,
  'GET /api/v1/auth/audit': events,
  'GET /api/v1/accounts': accounts,
  'GET /api/v1/accounts/invitations': invitations,
  'POST /api/v1/accounts/invitations': invited,
};
const erase = 'POST /api/v1/journals/00/erase';
const local: Partial<Stage> = {
  journal: { ...journal, paired: null },
  sync: { ...stopped('', 0), state: 'local', code: null },
};

const file = (text: string) => ({
  name: 'fair-measure-2026-05-15.json',
  mimeType: 'application/json',
  buffer: Buffer.from(text),
});

export const keeperScreens: Screen[] = [
  {
    name: 'keeper-reused',
    path: '/keeper',
    stage: { api: { ...api, 'GET /api/v1/auth/devices': devices } },
    then: async (page) => {
      await page.getByText('from two places').first().waitFor();
    },
  },
  {
    name: 'tonight-reused',
    path: '/',
    stage: { api: { ...api, 'GET /api/v1/auth/devices': devices } },
    then: async (page) => {
      await page.getByText('from two places').waitFor();
    },
  },
  {
    name: 'tonight-reused-read',
    path: '/',
    stage: { api: { ...api, 'GET /api/v1/auth/devices': devices } },
    then: async (page) => {
      await page.getByRole('status').getByRole('button', { name: 'Put away' }).click();
      await page.reload();
      await page.getByRole('link', { name: 'Keeper' }).first().waitFor();
      await page.waitForTimeout(150);
      await expect(page.getByText('from two places')).toHaveCount(0);
    },
  },
  {
    name: 'keeper-member',
    path: '/keeper',
    stage: {
      api,
      journal: {
        ...journal,
        undecided: 48,
        apart: 48,
        paired: { ...owner, account: long, role: 'member', has_password: false },
      },
    },
    then: async (page) => {
      await page.getByText('no password yet').waitFor();
      await expect(page.getByRole('link', { name: 'Household' })).toHaveCount(0);
    },
  },
  {
    name: 'keeper-rename',
    path: '/keeper',
    stage: { api: { ...api, 'POST /api/v1/auth/devices/02/name': answer({ code: 'name' }, 422) } },
    then: async (page) => {
      await page.getByRole('button', { name: `Rename ${long}` }).click();
      await page.getByLabel('Name of the device').fill('till');
      await page.getByRole('button', { name: 'Save', exact: true }).click();
      await page.getByText('up to 60 characters').waitFor();
    },
  },
  {
    name: 'keeper-renamed',
    path: '/keeper',
    stage: { api: { ...api, 'POST /api/v1/auth/devices/01/name': answer({ device: { id: '01', name: 'till' } }) } },
    then: async (page) => {
      await page.getByRole('button', { name: 'Rename bar phone' }).click();
      await page.getByLabel('Name of the device').fill('till');
      await page.keyboard.press('Enter');
      await expect(page.getByLabel('Name of the device')).toHaveCount(0);
      await expect(page.getByRole('button', { name: 'Rename bar phone' })).toBeFocused();
    },
  },
  { name: 'settings', path: '/keeper/settings' },
  { name: 'trash', path: '/keeper/trash' },
  { name: 'trash-empty', path: '/keeper/trash', stage: { scene: 'empty' } },
  { name: 'sign-ins', path: '/keeper/sign-ins', stage: { api } },
  {
    name: 'sign-ins-earlier',
    path: '/keeper/sign-ins',
    stage: { api },
    then: async (page) => {
      await page.getByRole('button', { name: 'Show earlier ones' }).click();
      await expect(page.getByRole('listitem').filter({ hasText: 'signed in' })).toHaveCount(60);
    },
  },
  { name: 'sign-ins-offline', path: '/keeper/sign-ins' },
  { name: 'household', path: '/keeper/household', stage: { api } },
  {
    name: 'household-invited',
    path: '/keeper/household',
    stage: { api },
    then: async (page) => {
      await page.getByRole('button', { name: 'Invite someone' }).click();
      await page.getByRole('img', { name: 'Link of the invitation' }).waitFor();
      await expect(page.getByTestId('pairlink')).toHaveText('http://127.0.0.1:4199/join#code=ABCD-EFGH-JKMN');
    },
  },
  {
    name: 'household-full',
    path: '/keeper/household',
    stage: { api: { ...api, 'POST /api/v1/accounts/invitations': answer({ code: 'too_many_codes' }, 409) } },
    then: async (page) => {
      await page.getByRole('button', { name: 'Invite someone' }).click();
      await page.getByText('Three invitations').waitFor();
    },
  },
  { name: 'household-offline', path: '/keeper/household' },
  {
    name: 'household-member',
    path: '/keeper/household',
    stage: { api, journal: { ...journal, paired: { ...owner, role: 'member' } } },
    then: async (page) => {
      await expect(page.getByText('Pip')).toHaveCount(0);
    },
  },
  { name: 'delete', path: '/keeper/delete' },
  { name: 'delete-local', path: '/keeper/delete', stage: local },
  {
    name: 'delete-sure',
    path: '/keeper/delete',
    stage: { journal: { ...journal, paired: { ...owner, account: long, has_password: false } } },
    then: async (page) => {
      await page.getByLabel('Type the name').fill(long);
      await page.getByRole('button', { name: 'Delete everything' }).click();
      await page.getByRole('button', { name: 'Leave it' }).scrollIntoViewIfNeeded();
    },
  },
  {
    name: 'delete-wrong',
    path: '/keeper/delete',
    stage: { api: { [erase]: answer({ code: 'wrong_password' }, 422) } },
    then: async (page) => {
      await page.getByLabel('Your password', { exact: true }).fill('not the one');
      await page.getByRole('button', { name: 'Delete everything' }).click();
      await page.getByRole('button', { name: 'Delete it for good' }).click();
      await page.getByText('Nothing was deleted').waitFor();
    },
  },
  {
    name: 'delete-wait',
    path: '/keeper/delete',
    stage: { api: { [erase]: answer({ code: 'too_many_tries', retry_s: 240 }, 429) } },
    then: async (page) => {
      await page.getByLabel('Your password', { exact: true }).fill('not the one');
      await page.getByRole('button', { name: 'Delete everything' }).click();
      await page.getByRole('button', { name: 'Delete it for good' }).click();
      await page.getByText('in 4 min').waitFor();
    },
  },
  {
    name: 'delete-offline',
    path: '/keeper/delete',
    stage: { sync: { ...stopped('', 3), state: 'unsent', code: null, online: false } },
    then: async (page) => {
      await page.getByLabel('Your password', { exact: true }).fill('four quiet words');
      await expect(page.getByRole('button', { name: 'Delete everything' })).toBeDisabled();
    },
  },
  {
    name: 'deleted',
    path: '/keeper/delete',
    stage: { api: { [erase]: answer({ erased: '00' }) } },
    then: async (page) => {
      await page.getByLabel('Your password', { exact: true }).fill('four quiet words');
      await page.getByRole('button', { name: 'Delete everything' }).click();
      await page.getByRole('button', { name: 'Delete it for good' }).click();
      await page.getByRole('heading', { name: 'Erased' }).waitFor();
    },
  },
  { name: 'late-tonight', path: '/', stage: { sync: stopped('erased', 2) } },
  { name: 'late-keeper', path: '/keeper', stage: { api, sync: stopped('erased', 0) } },
  {
    name: 'late-export',
    path: '/keeper/export',
    stage: { sync: stopped('erased', 2) },
    then: async (page) => {
      await page.getByRole('button', { name: 'Export everything (JSON)' }).click();
      await page.getByRole('link', { name: 'Save fair-measure-' }).waitFor();
      await page.getByRole('button', { name: 'Erase this device' }).click();
      await page.getByRole('button', { name: 'Leave it' }).scrollIntoViewIfNeeded();
    },
  },
  { name: 'bring-file', path: '/keeper/bring-file' },
  {
    name: 'bring-file-going',
    path: '/keeper/bring-file',
    stage: { bringing: { done: 1240, total: 5012 } },
    then: async (page) => {
      await page.getByLabel('The file').setInputFiles(file('{}'));
      await page.getByRole('button', { name: 'Bring it along' }).click();
      await page.getByText('1,240 of 5,012').waitFor();
    },
  },
  {
    name: 'bring-file-done',
    path: '/keeper/bring-file',
    stage: { api: { bringFile: answer({ brought: 212, not_brought: 3 }) } },
    then: async (page) => {
      await page.getByLabel('The file').setInputFiles(file('{}'));
      await page.getByRole('button', { name: 'Bring it along' }).click();
      await page.getByText('212 things').waitFor();
    },
  },
  {
    name: 'bring-file-refused',
    path: '/keeper/bring-file',
    stage: { api: { bringFile: answer({ code: 'not_an_export', field: 'file', text: 'no file of ours' }, 422) } },
    then: async (page) => {
      await page.getByLabel('The file').setInputFiles(file('once upon a time'));
      await page.getByRole('button', { name: 'Bring it along' }).click();
      await page.getByText('Nothing was brought').waitFor();
    },
  },
];
