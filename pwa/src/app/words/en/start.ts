import { amounts } from './start/amounts.ts';
import { app } from './start/app.ts';
import { glass } from './start/glass.ts';
import { leaving } from './start/leaving.ts';
import { pair } from './start/pair.ts';
import { saving } from './start/saving.ts';
import { sheet } from './start/sheet.ts';
import { syncing } from './start/syncing.ts';
import { tonight } from './start/tonight.ts';
import { totals } from './start/totals.ts';

/** What the start of the app says. */
export const start = {
  ...app,
  ...syncing,
  ...amounts,
  ...saving,
  ...glass,
  ...tonight,
  ...sheet,
  ...totals,
  ...leaving,
  ...pair,
};
