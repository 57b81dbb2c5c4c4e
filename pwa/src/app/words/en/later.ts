import { batch } from './later/batch.ts';
import { bottles } from './later/bottles.ts';
import { caution } from './later/caution.ts';
import { clash } from './later/clash.ts';
import { compared } from './later/compared.ts';
import { editor } from './later/editor.ts';
import { enter } from './later/enter.ts';
import { flight } from './later/flight.ts';
import { journal } from './later/journal.ts';
import { keeper } from './later/keeper.ts';
import { leaving } from './later/leaving.ts';
import { making } from './later/making.ts';
import { side } from './later/side.ts';
import { specs } from './later/specs.ts';
import { trial } from './later/trial.ts';
import { week } from './later/week.ts';

/** What the rooms say that the start does not show. */
export const later = {
  ...specs,
  ...journal,
  ...editor,
  ...week,
  ...bottles,
  ...batch,
  ...making,
  ...caution,
  ...side,
  ...compared,
  ...flight,
  ...trial,
  ...clash,
  ...keeper,
  ...leaving,
  ...enter,
};
