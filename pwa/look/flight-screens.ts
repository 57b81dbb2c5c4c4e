/** A flight at the bar, its friends, and trials, on invented answers. */
import { compared } from './comparing.ts';
import { flights } from './flights.ts';
import type { Screen } from './screen.ts';

const at = (id: string) => `/flight/${id}`;
const trial = `/side/${compared.twelve}/trial`;

export const flightScreens: Screen[] = [
  { name: 'flight-planned', path: at(flights.planned) },
  {
    name: 'flight-sheet',
    path: at(flights.planned),
    then: async (page) => {
      await page.getByRole('button', { name: 'Show the sheet' }).click();
      await page.getByText('In every glass, made first for all').waitFor();
    },
  },
  { name: 'flight-half', path: at(flights.half) },
  { name: 'flight-seen', path: at(flights.seen) },
  { name: 'flight-late', path: at(flights.late) },
  { name: 'flight', path: at(flights.blind) },
  {
    name: 'flight-scoring',
    path: at(flights.blind),
    then: async (page) => {
      await page.getByRole('button', { name: 'Half a point more' }).click();
      await page.getByRole('button', { name: 'long', exact: true }).click();
      await page.getByRole('button', { name: 'half', exact: true }).click();
    },
  },
  {
    name: 'flight-back',
    path: at(flights.blind),
    then: async (page) => {
      await page.getByRole('button', { name: '417, scored' }).click();
      await page.getByRole('button', { name: 'Save the change' }).waitFor();
    },
  },
  {
    name: 'flight-passed',
    path: at(flights.row),
    then: async (page) => {
      await page.getByRole('button', { name: 'Pass over this glass' }).click();
      await page.getByText('Glass 4', { exact: true }).waitFor();
      await page.getByRole('button', { name: 'Drunk, without a score' }).click();
      await page.getByText('Without a score: Glass 3, Glass 4').waitFor();
    },
  },
  { name: 'flight-row', path: at(flights.row) },
  { name: 'flight-scored', path: at(flights.scored) },
  { name: 'flight-limit', path: at(flights.limit) },
  { name: 'flight-under', path: at(flights.under) },
  {
    name: 'flight-under-some',
    path: at(flights.under),
    then: async (page) => {
      for (const code of ['825', '417', '938']) await page.getByRole('button', { name: code, exact: true }).click();
      await page.getByText('Under glass 4').waitFor();
    },
  },
  {
    name: 'flight-under-all',
    path: at(flights.under),
    then: async (page) => {
      for (const code of ['825', '417', '938', '263'])
        await page.getByRole('button', { name: code, exact: true }).click();
      await page.getByRole('button', { name: 'That is how they stood' }).waitFor();
    },
  },
  { name: 'flight-early', path: at(flights.early) },
  { name: 'flight-over', path: at(flights.over) },
  { name: 'flight-broken', path: at(flights.over), stage: { broken: 'flight' } },
  { name: 'friends', path: `${at(flights.blind)}/friends` },
  {
    name: 'friends-nobody',
    path: `${at(flights.planned)}/friends`,
    then: async (page) => {
      await page.getByRole('button', { name: 'Score as this person' }).click();
      await page.getByText('Say who is tasting.').waitFor();
    },
  },
  {
    name: 'friends-scores',
    path: `${at(flights.blind)}/friends`,
    then: async (page) => {
      await page.getByRole('button', { name: 'A friend with a rather long name' }).click();
      await page.getByLabel('Note on 825').fill('Like the garden after rain.');
    },
  },
  { name: 'trial', path: trial },
  { name: 'trial-quiet', path: trial, stage: { scene: 'quiet' } },
  {
    name: 'trial-triangle',
    path: trial,
    then: async (page) => {
      await page.getByLabel('What is asked').selectOption('triangle');
      await page.getByText('with fewer than 3 trials', { exact: false }).waitFor();
    },
  },
  {
    name: 'trial-pour',
    path: trial,
    then: async (page) => {
      await page.getByLabel('What is asked').selectOption('triangle');
      await page.getByRole('button', { name: 'Begin these trials' }).click();
      await page.getByRole('button', { name: 'Show what to pour' }).click();
      await page.getByText('Then, from left to right').waitFor();
    },
  },
  {
    name: 'trial-taste',
    path: trial,
    then: async (page) => {
      await page.getByRole('button', { name: 'Begin these trials' }).click();
      await page.getByRole('button', { name: 'They are poured: taste' }).click();
      await page.getByText('Which do you prefer').waitFor();
    },
  },
  {
    name: 'trial-choice',
    path: trial,
    then: async (page) => {
      await page.getByLabel('What is asked').selectOption('preferred');
      await page.getByRole('button', { name: 'Begin these trials' }).click();
      await page.getByRole('button', { name: 'They are poured: taste' }).click();
      await page.getByRole('button', { name: 'about the same' }).waitFor();
    },
  },
  {
    name: 'trial-seen',
    path: trial,
    then: async (page) => {
      await page.getByLabel('What is asked').selectOption('preferred');
      await page.getByRole('button', { name: 'Begin these trials' }).click();
      await page.getByRole('button', { name: 'They are poured: taste' }).click();
      await page.getByRole('button', { name: 'about the same' }).click();
      await page.getByText('1 trial done').waitFor();
    },
  },
];
