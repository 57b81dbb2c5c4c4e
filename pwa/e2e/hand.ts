import type { Page } from '@playwright/test';
import type { AnswerTo, Done, Intent, Question } from '../src/shared/core.ts';
import type { CoreCall, FromWorker, ToWorker } from '../src/shared/messages.ts';

/** A story's own hand on the worker of a page: what would take a thousand touches is asked of the core directly. */
export interface Hand {
  ask<Q extends Question>(question: Q): Promise<AnswerTo<Q>>;
  act(intent: Intent): Promise<Done>;
}

/** From the next load of the page on, `hand` stands in its window. */
export async function giveHand(page: Page): Promise<void> {
  await page.addInitScript(() => {
    const { Worker } = window;
    window.Worker = class extends Worker {
      constructor(...how: ConstructorParameters<typeof Worker>) {
        super(...how);
        Object.assign(window, { core: this });
      }
    };
    let no = 1_000_000;
    const call = (it: CoreCall) =>
      new Promise<unknown>((resolve, reject) => {
        const mine = ++no;
        const { core } = window as unknown as { core: Worker };
        const hear = ({ data }: MessageEvent<FromWorker>) => {
          if (data.say !== 'reply' || data.no !== mine) return;
          core.removeEventListener('message', hear);
          if ('ok' in data.reply) resolve(data.reply.ok);
          else reject(new Error(JSON.stringify(data.reply)));
        };
        core.addEventListener('message', hear);
        core.postMessage({ no: mine, call: it } satisfies ToWorker);
      });
    const hand = {
      ask: (question: Question) => call({ call: 'ask', question }),
      act: (intent: Intent) => call({ call: 'act', intent }),
    };
    Object.assign(window, { hand });
  });
}
