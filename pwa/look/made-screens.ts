/** What is made at home, on invented answers: filled in, empty, wrong, waiting. */
import { ids } from './answers.ts';
import type { Screen } from './screen.ts';

const batch = `/specs/${ids.spec}/batch`;

export const madeScreens: Screen[] = [
  {
    name: 'batch',
    path: batch,
    then: async (page) => {
      await page.getByText('It goes into the freezer').click();
      await page.getByText('slush likely').waitFor();
    },
  },
  {
    name: 'batch-bottle',
    path: batch,
    then: async (page) => {
      await page.getByLabel('Make it for').selectOption('bottle');
      await page.getByLabel('Water put in').selectOption('percent');
      await page.getByLabel('Water, %').fill('22,5');
      await page.getByText('It is fizzy').click();
      await page.getByText('50 ml stay empty').waitFor();
    },
  },
  {
    name: 'batch-wrong',
    path: batch,
    then: async (page) => {
      await page.getByLabel('Glasses').fill('two');
      await page.getByText('got “two”').waitFor();
    },
  },
  {
    name: 'batch-waiting',
    path: batch,
    stage: { wait: -1 },
    then: async (page) => {
      await page.getByText('One moment.').waitFor({ state: 'attached' });
    },
  },
  { name: 'batch-broken', path: batch, stage: { broken: 'batch' } },
  {
    name: 'batch-unnamed',
    path: batch,
    then: async (page) => {
      await page.getByLabel('Name').fill('');
      await page.getByLabel('Keep for').fill('a week');
      await page.getByRole('button', { name: 'It is made' }).click();
      await page.getByText('Give it a name.').waitFor();
    },
  },
  { name: 'making', path: '/making' },
  { name: 'making-empty', path: '/making', stage: { scene: 'empty' } },
  { name: 'making-broken', path: '/making', stage: { broken: 'makings' } },
  {
    name: 'syrup',
    path: '/making/syrup',
    then: async (page) => {
      await page.getByLabel('Measured').selectOption('volume');
      await page.getByLabel('Sugar, price').fill('2,30');
      await page.getByText('crystals are likely').waitFor();
    },
  },
  { name: 'syrup-plain', path: '/making/syrup' },
  {
    name: 'infusion',
    path: '/making/infusion',
    then: async (page) => {
      await page.getByLabel('What is put in').fill('tonka bean, foraged elder');
      await page.getByText('it holds coumarin').waitFor();
    },
  },
  { name: 'cut', path: '/making/cut' },
  {
    name: 'cut-wrong',
    path: '/making/cut',
    then: async (page) => {
      await page.getByLabel('Strength wanted').fill('70');
      await page.getByText('Water makes it weaker').waitFor();
    },
  },
  { name: 'infusion-empty', path: '/making/infusion', stage: { scene: 'empty' } },
  { name: 'calibration', path: '/keeper/calibration' },
  { name: 'calibration-empty', path: '/keeper/calibration', stage: { scene: 'empty' } },
];
