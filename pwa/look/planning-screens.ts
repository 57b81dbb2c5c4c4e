/** Setting a comparison up and planning a flight, on invented answers: begun, filled in, wrong, refused, changed. */
import type { Page } from '@playwright/test';
import { planned } from './planning.ts';
import type { Screen } from './screen.ts';

const next = (id: string): string => `/side/${id}/next`;
const tick = async (page: Page, name: RegExp): Promise<void> => {
  await page.getByRole('checkbox', { name }).first().check();
};
/** Gin and pear ticked, six of one by two of the other. */
const twelve = async (page: Page): Promise<void> => {
  await tick(page, /juniper-heavy gin/);
  await tick(page, /½ oz pear|pear eau-de-vie/);
  for (const name of [/soft floral/, /citrus-led/, /coastal/, /cask-rested gin/, /old-style/]) await tick(page, name);
  await tick(page, /cask-rested pear/);
  await page.getByText('6 × 2 = 12 pairings').waitFor();
};

export const planningScreens: Screen[] = [
  { name: 'setup-begun', path: '/side/new', stage: { scene: 'shelf' } },
  { name: 'setup-twelve', path: '/side/new', stage: { scene: 'shelf' }, then: twelve },
  {
    name: 'setup-all',
    path: '/side/new',
    stage: { scene: 'shelf' },
    then: async (page) => {
      await tick(page, /juniper-heavy gin/);
      await page.getByRole('button', { name: /more bottles/ }).click();
      await page.getByText('rum', { exact: true }).waitFor();
      await tick(page, /Something put to it/);
      await page.getByLabel('What may be put to it').fill('5 ml gentian bitter\n2 dashes orange bitters');
      await page.getByText('1 × 3 = 3 pairings').waitFor();
      const worth = page.getByRole('spinbutton', { name: 'The benchmark’s score' });
      await worth.press('End');
      await page.getByText('Nothing can score above 10').waitFor();
    },
  },
  {
    name: 'setup-wrong',
    path: '/side/new',
    stage: { scene: 'shelf' },
    then: async (page) => {
      await tick(page, /juniper-heavy gin/);
      await tick(page, /½ oz pear|pear eau-de-vie/);
      await page.getByText('Or paste whole pairings').click();
      await page.getByLabel('Pairings, one a line').fill('coastal gin + cask pear\nonly a gin');
      await page.getByRole('button', { name: 'Begin comparing' }).click();
      await page.getByText('Line 2: “only a gin” has one part').waitFor();
    },
  },
  {
    name: 'setup-no-line',
    path: '/side/new',
    stage: { scene: 'shelf' },
    then: async (page) => {
      await page.getByRole('button', { name: 'Begin comparing' }).click();
      await page.getByText('Tick at least one line').waitFor();
    },
  },
  { name: 'add', path: `/side/${planned.added}/add`, stage: { scene: 'shelf' } },
  {
    name: 'add-wrong',
    path: `/side/${planned.fits}/add`,
    stage: { scene: 'shelf' },
    then: async (page) => {
      await page.getByRole('button', { name: 'Add', exact: true }).click();
      await page.getByText('that is not there yet').waitFor();
    },
  },
  { name: 'plan', path: next(planned.fits) },
  { name: 'plan-added', path: next(planned.added) },
  { name: 'plan-over', path: next(planned.over) },
  { name: 'plan-already', path: next(planned.already) },
  { name: 'plan-unknown', path: next(planned.unknown) },
  { name: 'plan-heavy', path: next(planned.heavy) },
  { name: 'plan-waits', path: next(planned.waits) },
  {
    name: 'plan-none',
    path: next(planned.none),
    stage: { refused: { q: 'plan', refusal: { code: 'too_few_pairings', field: 'id', text: 'nothing to taste' } } },
  },
  {
    name: 'plan-many',
    path: next(planned.none),
    stage: { refused: { q: 'plan', refusal: { code: 'too_many_pairings', field: 'id', text: 'too many' } } },
  },
  { name: 'plan-broken', path: next(planned.fits), stage: { broken: 'plan' } },
  { name: 'plan-quiet', path: next(planned.fits), stage: { scene: 'quiet' } },
  {
    name: 'plan-size',
    path: next(planned.fits),
    then: async (page) => {
      await page.getByLabel('Each glass as it is served').fill('200');
      await page.getByText('Expected 5 to 60 ml').waitFor();
    },
  },
  {
    name: 'plan-choosing',
    path: next(planned.fits),
    then: async (page) => {
      await page
        .getByRole('button', { name: /^Another instead of/ })
        .nth(1)
        .click();
      await page.getByRole('heading', { name: /^Instead of/ }).waitFor();
    },
  },
  {
    name: 'plan-changed',
    path: next(planned.fits),
    then: async (page) => {
      await page
        .getByRole('button', { name: /^Another instead of/ })
        .first()
        .click();
      await page.getByTestId('chooser').getByRole('listitem').getByRole('button').first().click();
      await page.getByText('Your choice.').waitFor();
      await page
        .getByRole('button', { name: /^Take out/ })
        .last()
        .click();
      await page.getByText('3 glasses, as you changed them').waitFor();
    },
  },
];
