import { expect } from '@playwright/test';
import { ids } from './answers.ts';
import { comparingScreens } from './comparing-screens.ts';
import type { Stage } from './fake-worker.ts';
import { flightScreens } from './flight-screens.ts';
import { keeperScreens } from './keeper-screens.ts';
import { madeScreens } from './made-screens.ts';
import { planningScreens } from './planning-screens.ts';
import type { Screen } from './screen.ts';

const bar = { account: 'Bar', device: '01', name: 'bar phone', role: 'owner' as const, has_password: true };
const paired: Stage['journal'] = { id: '00', paired: bar, apart: 0, undecided: 0 };
const synced: Stage['sync'] = {
  state: 'synced',
  unsent: 0,
  unreadable: 0,
  online: true,
  code: null,
  last_ms: Date.UTC(2026, 4, 15, 12, 4),
  clock_off_ms: 0,
};
/** What a device stands on unless a screen says otherwise. */
export const stage: Stage = {
  scene: 'full',
  sync: synced,
  journal: paired,
  wait: 0,
  broken: '',
  api: {},
  bringing: null,
};
const devices = {
  'GET /api/v1/auth/devices': {
    status: 200,
    body: {
      devices: [
        {
          id: '01',
          name: 'bar phone',
          created_ms: Date.UTC(2026, 2, 1),
          last_seen_ms: Date.UTC(2026, 4, 15, 12),
          this: true,
        },
        {
          id: '02',
          name: 'kitchen laptop',
          created_ms: Date.UTC(2026, 2, 2),
          last_seen_ms: Date.UTC(2026, 4, 14, 22),
          this: false,
        },
        {
          id: '03',
          name: 'old phone',
          created_ms: Date.UTC(2025, 2, 2),
          last_seen_ms: Date.UTC(2025, 4, 14, 22),
          ended_ms: Date.UTC(2026, 1, 1),
          end: 'revoked',
          this: false,
        },
      ],
    },
  },
};

/** Before this device has come in anywhere. */
const alone: Partial<Stage> = {
  journal: { id: '00', paired: null, apart: 0, undecided: 0 },
  sync: { ...synced, state: 'local', last_ms: null },
};
const refusing = (call: string, status: number, body: object): Partial<Stage> => ({
  ...alone,
  api: { [call]: { status, body } },
});

export const screens: Screen[] = [
  ...keeperScreens,
  ...madeScreens,
  ...comparingScreens,
  ...planningScreens,
  ...flightScreens,
  { name: 'adults', path: '/', young: true },
  {
    name: 'adults-no',
    path: '/',
    young: true,
    then: async (page) => {
      await page.getByRole('button', { name: 'No', exact: true }).click();
    },
  },
  { name: 'tonight', path: '/' },
  { name: 'tonight-quiet', path: '/', stage: { scene: 'quiet' } },
  { name: 'tonight-one', path: '/', stage: { scene: 'one' } },
  { name: 'tonight-nine', path: '/', stage: { scene: 'nine' } },
  { name: 'tonight-ended', path: '/', stage: { scene: 'ended' } },
  {
    name: 'chooser-before',
    path: '/pour',
    then: async (page) => {
      await page.getByRole('button', { name: 'last night' }).click();
      await page.getByText('counts for').waitFor();
    },
  },
  {
    name: 'journal-moving',
    path: '/journal',
    then: async (page) => {
      await page.getByRole('button', { name: 'Move where a session begins' }).first().click();
      await page.getByRole('button', { name: 'A new session from 22:04' }).waitFor();
    },
  },
  { name: 'log', path: '/pour/log' },
  {
    name: 'log-several',
    path: '/pour/log',
    then: async (page) => {
      await page.getByLabel('How many').fill('3');
      await page.getByRole('button', { name: 'It was in another time zone' }).first().click();
    },
  },
  { name: 'guess', path: '/pour/guess' },
  { name: 'tonight-empty', path: '/', stage: { scene: 'empty' } },
  {
    name: 'tonight-first',
    path: '/',
    stage: {
      scene: 'empty',
      journal: { id: '00', paired: null, apart: 0, undecided: 0 },
      sync: { ...synced, state: 'local', last_ms: null },
    },
  },
  {
    name: 'tonight-unsent',
    path: '/',
    stage: { sync: { ...synced, state: 'unsent', unsent: 2, unreadable: 0, online: false } },
  },
  { name: 'chooser', path: '/pour' },
  { name: 'sheet', path: `/pour/${ids.spec}` },
  { name: 'journal', path: '/journal' },
  { name: 'journal-empty', path: '/journal', stage: { scene: 'empty' } },
  {
    name: 'journal-waiting',
    path: '/journal',
    stage: { wait: -1 },
    then: async (page) => {
      await page.getByText('One moment.').waitFor({ state: 'attached' });
    },
  },
  { name: 'journal-broken', path: '/journal', stage: { broken: 'journal' } },
  { name: 'pour', path: `/journal/${ids.pour}` },
  { name: 'pour-plain', path: `/journal/${ids.plain}` },
  { name: 'pour-deleted', path: `/journal/${ids.deleted}` },
  { name: 'specs', path: '/specs' },
  { name: 'specs-empty', path: '/specs', stage: { scene: 'empty' } },
  { name: 'spec', path: `/specs/${ids.spec}` },
  { name: 'spec-riff', path: `/specs/${ids.riff}` },
  { name: 'spec-doubt', path: `/specs/${ids.loose}` },
  { name: 'editor-new', path: '/specs/new' },
  { name: 'editor-edit', path: `/specs/${ids.spec}/edit` },
  { name: 'editor-riff', path: `/specs/${ids.spec}/riff` },
  {
    name: 'spec-change',
    path: `/specs/${ids.spec}`,
    then: async (page) => {
      await page.getByRole('button', { name: 'Find a change' }).click();
      await page.getByText('Tried in steps').scrollIntoViewIfNeeded();
    },
  },
  { name: 'swap', path: `/specs/${ids.spec}/swap` },
  { name: 'swap-line', path: `/specs/${ids.spec}/swap/${ids.honey}` },
  {
    name: 'swap-find',
    path: `/specs/${ids.spec}/swap/${ids.honey}`,
    then: async (page) => {
      await page.getByLabel('Find').fill('nothing of the kind');
      await page.getByText('nothing of the kind').last().waitFor();
    },
  },
  {
    name: 'swap-ways',
    path: `/specs/${ids.spec}/swap/${ids.honey}`,
    then: async (page) => {
      await page.getByRole('button', { name: /^agave syrup/ }).click();
      await page.getByRole('heading', { name: 'Equal sugar' }).waitFor();
    },
  },
  {
    name: 'swap-unknown',
    path: `/specs/${ids.spec}/swap/${ids.honey}`,
    then: async (page) => {
      await page.getByRole('button', { name: /^Syrup of windfall pears/ }).click();
      await page.getByText('what happens to the alcohol').waitFor();
    },
  },
  {
    name: 'swap-none',
    path: `/specs/${ids.spec}/swap/${ids.honey}`,
    then: async (page) => {
      await page.getByRole('button', { name: /^demerara syrup/ }).click();
      await page.getByText('No way was found').waitFor();
    },
  },
  { name: 'swap-nowhere', path: `/specs/${ids.spec}/swap/none` },
  { name: 'touch', path: `/specs/${ids.spec}/touch` },
  { name: 'touch-none', path: `/specs/${ids.loose}/touch` },
  { name: 'touch-broken', path: `/specs/${ids.spec}/touch`, stage: { broken: 'touches' } },
  { name: 'difference', path: `/specs/${ids.spec}/difference/${ids.riff}` },
  { name: 'difference-alone', path: `/specs/${ids.loose}/difference` },
  {
    name: 'difference-waiting',
    path: `/specs/${ids.spec}/difference`,
    stage: { wait: -1 },
    then: async (page) => {
      await page.getByText('One moment.').waitFor({ state: 'attached' });
    },
  },
  { name: 'week', path: '/week' },
  { name: 'week-empty', path: '/week', stage: { scene: 'empty' } },
  { name: 'week-split', path: '/week', stage: { scene: 'split' } },
  { name: 'bottles', path: '/bottles' },
  { name: 'bottles-quiet', path: '/bottles', stage: { scene: 'quiet' } },
  { name: 'bottles-empty', path: '/bottles', stage: { scene: 'empty' } },
  { name: 'side', path: '/side' },
  { name: 'keeper', path: '/keeper', stage: { api: devices } },
  {
    name: 'keeper-local',
    path: '/keeper',
    stage: {
      scene: 'empty',
      journal: { id: '00', paired: null, apart: 3, undecided: 0 },
      sync: { ...synced, state: 'local', last_ms: null },
    },
  },
  {
    name: 'keeper-full-disk',
    path: '/keeper',
    stage: { api: devices, sync: { ...synced, state: 'stopped', code: 'no_space', unsent: 4 } },
  },
  { name: 'clash', path: `/clash/${ids.line}` },
  { name: 'clash-score', path: `/clash/${ids.pour}` },
  { name: 'clash-none', path: '/clash/none' },
  { name: 'pair', path: '/pair' },
  {
    name: 'pair-refused',
    path: '/pair#code=ABCD-EFGH-JKMN',
    stage: {
      journal: { id: '00', paired: null, apart: 0, undecided: 0 },
      api: { pair: { status: 403, body: { code: 'code_expired' } } },
    },
  },
  { name: 'revoked', path: '/journal', stage: { sync: { ...synced, state: 'stopped', code: 'revoked', unsent: 3 } } },
  { name: 'nowhere', path: '/nowhere' },
  {
    name: 'editor-typed',
    path: '/specs/new',
    then: async (page) => {
      await page.getByLabel('Drink', { exact: true }).fill('Orchard Sour');
      await page.getByRole('textbox', { name: 'Line 1' }).fill('45 ml gin, 44 %');
      await page.getByRole('textbox', { name: 'Line 1' }).press('Enter');
      await page.keyboard.type('60 ml rum 140');
      await page.getByRole('button', { name: '140 proof' }).waitFor();
      await page.getByRole('button', { name: 'Write it again' }).waitFor();
      await page.keyboard.press('Enter');
      await page.keyboard.type('lemon');
      await page.getByText('expected a unit').waitFor();
      await page.getByText('One whole glass').waitFor();
    },
  },
  {
    name: 'spec-line',
    path: `/specs/${ids.spec}`,
    then: async (page) => {
      await page.getByRole('button', { name: 'Change ¾ oz lemon juice' }).click();
      await page.getByLabel('The line, as you would say it').fill('20 ml lemon juice');
      await page.getByText('20 ml lemon juice · ').waitFor();
    },
  },
  {
    name: 'spec-garnish',
    path: `/specs/${ids.spec}`,
    then: async (page) => {
      await page.getByRole('button', { name: 'Garnish: bay leaf. Change' }).click();
      await page.getByRole('textbox', { name: 'Garnish' }).fill('pear slice');
      await page.getByRole('button', { name: 'Save', exact: true }).click();
      await page.getByText('Garnish. Saved').waitFor();
    },
  },
  {
    name: 'bottles-add',
    path: '/bottles',
    then: async (page) => {
      await page.getByRole('button', { name: 'Add a bottle' }).click();
      await page.getByLabel('Size, ml').fill('much');
      await page.getByRole('button', { name: 'Save bottle' }).click();
      await page.getByText('Say what is in it.').waitFor();
    },
  },
  {
    name: 'bottles-change',
    path: '/bottles',
    then: async (page) => {
      await page.getByText('Change', { exact: true }).first().click();
    },
  },
  {
    name: 'keeper-erase',
    path: '/keeper/trash',
    stage: { api: devices },
    then: async (page) => {
      await page.getByRole('button', { name: 'Erase A pint for good' }).click();
      await page.getByRole('button', { name: 'Leave it' }).scrollIntoViewIfNeeded();
    },
  },
  {
    name: 'keeper-leave',
    path: '/keeper',
    stage: { api: devices, sync: { ...synced, state: 'unsent', unsent: 4, online: false } },
    then: async (page) => {
      await page.getByRole('button', { name: 'Sign out and erase' }).click();
      await page.getByRole('button', { name: 'Leave it' }).scrollIntoViewIfNeeded();
    },
  },
  {
    name: 'keeper-out',
    path: '/keeper',
    stage: {
      journal: { ...paired, paired: { ...bar, out: 'untold' } },
      sync: { ...synced, state: 'stopped', code: 'signed_out', unsent: 1 },
    },
  },
  {
    name: 'keeper-erased',
    path: '/keeper',
    stage: { api: devices },
    then: async (page) => {
      await page.getByRole('button', { name: 'Sign out and erase' }).click();
      await page.getByRole('button', { name: 'Erase it all' }).click();
    },
  },
  {
    name: 'export',
    path: '/keeper/export',
    stage: {
      journal: { ...paired, apart: 3 },
      sync: { ...synced, state: 'stopped', code: 'no_space', unsent: 4 },
    },
    then: async (page) => {
      await page.getByRole('button', { name: 'Export everything (JSON)' }).click();
      await page.getByRole('link', { name: 'Save fair-measure-' }).waitFor();
    },
  },
  { name: 'week-help', path: '/week/help' },
  { name: 'week-four', path: '/week/four' },
  { name: 'week-year', path: '/week/year' },
  { name: 'week-year-empty', path: '/week/year', stage: { scene: 'empty' } },
  { name: 'week-quiet', path: '/week', stage: { scene: 'quiet' } },
  {
    name: 'week-heavy',
    path: '/week',
    stage: { scene: 'quiet' },
    then: async (page) => {
      await page.getByRole('button', { name: 'Show the week' }).click();
    },
  },
  {
    name: 'week-table',
    path: '/week',
    then: async (page) => {
      await page.getByRole('button', { name: 'Make the table' }).click();
      await page.getByRole('link', { name: /Save fair-measure-days/ }).scrollIntoViewIfNeeded();
    },
  },
  {
    name: 'pour-scored',
    path: `/journal/${ids.pour}`,
    then: async (page) => {
      await page.getByRole('spinbutton', { name: 'Score' }).press('ArrowUp');
      await page.getByText('Score. Saved').waitFor();
    },
  },
  { name: 'setup', path: '/setup#key=abcdefghijklmnopqrstuvwxyz234567', stage: alone },
  {
    name: 'setup-faults',
    path: '/setup',
    stage: alone,
    then: async (page) => {
      await page.getByLabel('Password', { exact: true }).fill('too short');
      await page.getByRole('button', { name: 'Show password' }).click();
      await page.getByRole('button', { name: 'Set up', exact: true }).click();
      await page.getByText('this has 9').waitFor();
    },
  },
  {
    name: 'setup-over',
    path: '/setup#key=abcdefghijklmnopqrstuvwxyz234567',
    ios: true,
    stage: refusing('enter setup', 404, { code: 'no_setup' }),
    then: async (page) => {
      await page.getByLabel('Name', { exact: true }).fill('Wilhelmine from the house by the old orchard wall');
      await page.getByLabel('Password', { exact: true }).fill('four quiet words here');
      await page.getByRole('button', { name: 'Set up', exact: true }).click();
      await page.getByText('set up already').waitFor();
    },
  },
  { name: 'sign-in', path: '/sign-in', stage: alone },
  { name: 'sign-in-again', path: '/sign-in' },
  {
    name: 'sign-in-wrong',
    path: '/sign-in',
    ios: true,
    stage: refusing('enter sign-in', 401, { code: 'wrong' }),
    then: async (page) => {
      await page.getByLabel('Name', { exact: true }).fill('Bar');
      await page.getByLabel('Password', { exact: true }).fill('four quiet words');
      await page.getByRole('button', { name: 'Sign in', exact: true }).click();
      await page.getByText('do not go together').waitFor();
    },
  },
  {
    name: 'sign-in-wait',
    path: '/sign-in',
    stage: refusing('enter sign-in', 429, { code: 'too_many_tries', retry_s: 900 }),
    then: async (page) => {
      await page.getByLabel('Name', { exact: true }).fill('Bar');
      await page.getByLabel('Password', { exact: true }).fill('four quiet words');
      await page.getByRole('button', { name: 'Sign in', exact: true }).click();
      await page.getByText('in 15 minutes, at').waitFor();
    },
  },
  {
    name: 'sign-in-offline',
    path: '/sign-in',
    stage: alone,
    then: async (page) => {
      await page.getByLabel('Name', { exact: true }).fill('Bar');
      await page.getByLabel('Password', { exact: true }).fill('four quiet words');
      await page.getByRole('button', { name: 'Sign in', exact: true }).click();
      await page.getByText('did not answer').waitFor();
    },
  },
  { name: 'join', path: '/join#code=ABCD-EFGH-JKMN', stage: alone },
  { name: 'join-ios', path: '/join#code=ABCD-EFGH-JKMN', ios: true, stage: alone },
  {
    name: 'join-device-code',
    path: '/join#code=ABCD-EFGH-JKMN',
    stage: refusing('enter join', 422, { code: 'not_invitation' }),
    then: async (page) => {
      await page.getByLabel('Name', { exact: true }).fill('Bar');
      await page.getByLabel('Password', { exact: true }).fill('four quiet words');
      await page.getByRole('button', { name: 'Join', exact: true }).click();
      await page.getByRole('button', { name: 'Use the code to let this device in' }).waitFor();
    },
  },
  {
    name: 'pair-invitation',
    path: '/pair#code=ABCD-EFGH-JKMN',
    stage: refusing('pair', 422, { code: 'invitation' }),
    then: async (page) => {
      await page.getByRole('heading', { name: 'Join' }).waitFor();
      await expect(page.getByLabel('Invitation code')).toHaveValue('ABCD-EFGH-JKMN');
      expect(page.url()).not.toContain('ABCD');
    },
  },
  { name: 'bring', path: '/bring', stage: { journal: { ...paired, apart: 48, undecided: 48 } } },
  {
    name: 'bring-going',
    path: '/bring',
    stage: { journal: { ...paired, apart: 48, undecided: 48 }, bringing: { done: 31, total: 48 } },
    then: async (page) => {
      await page.getByRole('button', { name: 'Bring them along' }).click();
      await page.getByText('31 of 48').waitFor();
    },
  },
  {
    name: 'bring-came',
    path: '/bring',
    stage: { journal: { ...paired, apart: 48, undecided: 48 } },
    then: async (page) => {
      await page.getByRole('button', { name: 'Bring them along' }).click();
      await page.getByText('48 things').waitFor();
    },
  },
  {
    name: 'bring-apart',
    path: '/bring',
    stage: { journal: { ...paired, apart: 1, undecided: 1 } },
    then: async (page) => {
      await page.getByRole('button', { name: 'Keep them apart' }).click();
      await page.getByText('Kept apart.').waitFor();
    },
  },
  { name: 'bring-decided', path: '/bring', stage: { journal: { ...paired, apart: 3, undecided: 0 } } },
  { name: 'bring-none', path: '/bring' },
  { name: 'keeper-apart', path: '/keeper', stage: { api: devices, journal: { ...paired, apart: 3, undecided: 0 } } },
  {
    name: 'password-wrong',
    path: '/password',
    stage: { api: { 'POST /api/v1/auth/password': { status: 422, body: { code: 'wrong_password' } } } },
    then: async (page) => {
      await page.getByLabel('Password now', { exact: true }).fill('four quiet words');
      await page.getByLabel('New password', { exact: true }).fill('five quiet words then');
      await page.getByLabel('Sign out my other devices').check();
      await page.getByRole('button', { name: 'Change password' }).click();
      await page.getByText('not the password of this account').waitFor();
    },
  },
  {
    name: 'password-changed',
    path: '/password',
    stage: {
      api: { 'POST /api/v1/auth/password': { status: 200, body: { changed: true, revoked: ['02', '03'] } } },
    },
    then: async (page) => {
      await page.getByLabel('Password now', { exact: true }).fill('four quiet words');
      await page.getByLabel('New password', { exact: true }).fill('five quiet words then');
      await page.getByLabel('Sign out my other devices').check();
      await page.getByRole('button', { name: 'Change password' }).click();
      await page.getByText('2 other devices are signed out').waitFor();
    },
  },
  {
    name: 'password-first',
    path: '/password',
    stage: { journal: { ...paired, paired: { ...bar, has_password: false } } },
  },
  {
    name: 'password-out',
    path: '/password',
    stage: { journal: { ...paired, paired: { ...bar, out: 'told' } } },
  },
];
