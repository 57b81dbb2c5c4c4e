/** Comparing, on invented answers: begun, empty, filled in, wrong, broken. */
import { compared } from './comparing.ts';
import type { Screen } from './screen.ts';

export const comparingScreens: Screen[] = [
  { name: 'side-broken', path: '/side', stage: { broken: 'comparisons' } },
  { name: 'side-new-empty', path: '/side/new', stage: { scene: 'empty' } },
  { name: 'compared', path: `/side/${compared.twelve}` },
  { name: 'compared-two', path: `/side/${compared.two}` },
  { name: 'compared-one', path: `/side/${compared.one}` },
  { name: 'compared-many', path: `/side/${compared.many}` },
  { name: 'compared-three', path: `/side/${compared.three}` },
  {
    name: 'compared-four',
    path: `/side/${compared.four}`,
    then: async (page) => {
      await page.getByLabel('Down').selectOption({ label: 'lemon juice' });
      await page.getByRole('columnheader', { name: 'instead of lemon juice' }).waitFor();
    },
  },
  { name: 'compared-none', path: `/side/${compared.none}` },
  { name: 'compared-unpriced', path: `/side/${compared.unpriced}` },
  { name: 'compared-quiet', path: `/side/${compared.twelve}`, stage: { scene: 'quiet' } },
  { name: 'compared-broken', path: `/side/${compared.twelve}`, stage: { broken: 'comparison' } },
  {
    name: 'compared-worth',
    path: `/side/${compared.twelve}`,
    then: async (page) => {
      await page.getByRole('button', { name: 'Say what it is worth now' }).click();
      await page.getByRole('spinbutton', { name: 'Worth, of ten' }).press('End');
      await page.getByText('Nothing can score above').waitFor();
    },
  },
  {
    name: 'compared-bench',
    path: `/side/${compared.twelve}`,
    then: async (page) => {
      await page.getByText('Leave some out').first().click();
      await page.getByText('Score against price').scrollIntoViewIfNeeded();
      await page.getByText('All of it as a table').click();
      await page.getByRole('button', { name: 'Make a picture' }).click();
      await page.getByRole('link', { name: /Save fair-measure-.*png/ }).waitFor();
    },
  },
];
