/** The one clock of a story: its pages, their workers, the server and the story itself go by it, never by the machine's. */
import type { BrowserContext } from '@playwright/test';

/** When the stories begin, unless one says otherwise: a Friday in spring, some weeks from any change of the clocks. */
export const evening = '2026-05-15T22:04:00+02:00';

const usual = [aheadOf(evening), '+02:00'] as const;
let [ahead, offset]: readonly [number, string] = usual;

/** From here on it is that time, until the story ends. */
export function begin(at: string): void {
  ahead = aheadOf(at);
  offset = /[+-]\d\d:\d\d$/.exec(at)?.[0] ?? '+00:00';
}

/** After a story that began at a time of its own the evening goes on; servers that several stories share never left it. */
export function goOn(): void {
  [ahead, offset] = usual;
}

/** Milliseconds since 1970. */
export const now = (): number => Date.now() + ahead;

/** Now, with the offset the story began in, as FAIRMEASURE_CLOCK takes it. */
export function moment(): string {
  const [, sign, hours, minutes] = /^([+-])(\d\d):(\d\d)$/.exec(offset) ?? [];
  const east = (Number(hours) * 60 + Number(minutes)) * (sign === '-' ? -1 : 1);
  return new Date(now() + east * 60_000).toISOString().replace('Z', offset);
}

function aheadOf(at: string): number {
  const by = Date.parse(at) - Date.now();
  if (Number.isNaN(by)) throw new Error(`no time: ${at}`);
  return by;
}

const clocks = new WeakMap<BrowserContext, Clock>();

/** The clock of one browser, its pages and its workers alike. */
export class Clock {
  readonly #context: BrowserContext;
  #shift = '';

  private constructor(context: BrowserContext) {
    this.#context = context;
  }

  /** Gives a browser the story's clock, once. Contexts that the browser of story.ts makes have it from their beginning. */
  static async of(context: BrowserContext): Promise<Clock> {
    const known = clocks.get(context);
    if (known) return known;
    const clock = new Clock(context);
    clocks.set(context, clock);
    // Also when a service worker fetches it to keep it.
    await context.route('**/assets/core.worker-*.js', async (route) => {
      const response = await route.fetch().catch(() => null);
      if (!response) return route.abort('connectionrefused').catch(() => undefined); // the server, or the browser, is down
      await route.fulfill({ response, body: `${clock.#shift}\n${await response.text()}` });
    });
    await clock.#move(ahead);
    return clock;
  }

  /**
   * "2026-10-25T02:30:00+01:00", and it goes on from there. Holds from the next page load on, and only where the context
   * blocks service workers: they bring the worker's script as it was when they kept it.
   */
  async set(at: string): Promise<void> {
    await this.#move(aheadOf(at));
  }

  async #move(by: number): Promise<void> {
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
