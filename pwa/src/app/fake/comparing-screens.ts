/** Comparing, on invented answers: begun, empty, filled in, wrong, broken. */
import { compared, flights } from './comparing.ts';
import type { Screen } from './screens.look.ts';

export const comparingScreens: Screen[] = [
  { name: 'side-broken', path: '/side', stage: { broken: 'comparisons' } },
  {
    name: 'side-new',
    path: '/side/new',
    then: async (page) => {
      await page.getByRole('checkbox').nth(0).check();
      await page.getByRole('checkbox').nth(1).check();
      await page.getByText('From the shelf').first().click();
      await page.getByLabel('By name').first().fill('coastal gin\nold-style sweet gin of the long orchard wall');
      await page.getByText('3 different pairings').waitFor();
    },
  },
  {
    name: 'side-new-wrong',
    path: '/side/new',
    then: async (page) => {
      await page.getByRole('button', { name: 'Begin comparing' }).click();
      await page.getByText('Tick at least one line').waitFor();
    },
  },
  { name: 'side-new-empty', path: '/side/new', stage: { scene: 'empty' } },
  { name: 'compared', path: `/side/${compared.twelve}` },
  { name: 'compared-two', path: `/side/${compared.two}` },
  { name: 'compared-many', path: `/side/${compared.many}` },
  { name: 'compared-none', path: `/side/${compared.none}` },
  { name: 'compared-broken', path: `/side/${compared.twelve}`, stage: { broken: 'comparison' } },
  { name: 'next-flight', path: `/side/${compared.twelve}/next` },
  { name: 'next-flight-quiet', path: `/side/${compared.twelve}/next`, stage: { scene: 'quiet' } },
  { name: 'flight', path: `/flight/${flights.blind}` },
  { name: 'flight-planned', path: `/flight/${flights.planned}` },
  { name: 'flight-over', path: `/flight/${flights.over}` },
];
