import type { BrowserContext } from '@playwright/test';

/** The clock of one browser, its pages and its workers alike. Moving it holds from the next page load on. */
export class Clock {
  readonly #context: BrowserContext;
  #shift = '';

  private constructor(context: BrowserContext) {
    this.#context = context;
  }

  /** The context must block service workers: they would bring the worker's script past this. */
  static async of(context: BrowserContext, at: string): Promise<Clock> {
    const clock = new Clock(context);
    await context.route('**/assets/core.worker-*.js', async (route) => {
      const response = await route.fetch();
      await route.fulfill({ response, body: `${clock.#shift}\n${await response.text()}` });
    });
    await clock.set(at);
    return clock;
  }

  /** "2026-10-25T02:30:00+01:00"; it goes on from there. */
  async set(at: string): Promise<void> {
    const by = Date.parse(at) - Date.now();
    if (Number.isNaN(by)) throw new Error(`no time: ${at}`);
    this.#shift = `{
      const Real = (globalThis.realDate ??= Date);
      globalThis.Date = class extends Real {
        constructor(...given) { given.length === 0 ? super(Real.now() + ${by}) : super(...given); }
        static now() { return Real.now() + ${by}; }
      };
    }`;
    await this.#context.addInitScript(this.#shift);
  }
}
