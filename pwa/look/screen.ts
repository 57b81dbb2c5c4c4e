import type { Page } from '@playwright/test';
import type { Stage } from './fake-worker.ts';

/** One picture: what is opened, on which answers, and what is done first. */
export interface Screen {
  name: string;
  path: string;
  /** Nobody has said yet to be of age. */
  young?: true;
  /** In Safari on an iPhone. */
  ios?: true;
  stage?: Partial<Stage>;
  then?: (page: Page) => Promise<void>;
}
