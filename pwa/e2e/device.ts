/** One of the person's devices: a browser with a store of its own, and what a story needs to know of its disk. */
import { type Browser, type BrowserContext, type BrowserContextOptions, expect, type Page } from '@playwright/test';
import { holdMs } from '../src/app/parts/touches.ts';
import { words } from '../src/app/words.ts';
import type { Demo } from './server.ts';
import { watch } from './watch.ts';

export const phoneShape: BrowserContextOptions = {
  viewport: { width: 390, height: 844 },
  hasTouch: true,
  isMobile: true,
};
export const laptopShape: BrowserContextOptions = { viewport: { width: 1280, height: 800 } };

/** Somebody on this browser said before to be of age; the question itself has a story of its own. */
export async function grown(context: BrowserContext): Promise<void> {
  await context.addInitScript(() => {
    try {
      localStorage.setItem('adult', 'yes');
    } catch {
      // a page without storage, such as about:blank
    }
  });
}

export class Device {
  readonly context: BrowserContext;
  readonly page: Page;
  /** What its console should not have said. */
  readonly said: string[];
  #savedAt = -holdMs;

  private constructor(context: BrowserContext, page: Page) {
    this.context = context;
    this.page = page;
    this.said = watch(context);
  }

  static async fresh(browser: Browser, shape: BrowserContextOptions): Promise<Device> {
    const context = await browser.newContext(shape);
    await grown(context);
    return new Device(context, await context.newPage());
  }

  /** A laptop, let in by the link the server printed. */
  static async laptop(browser: Browser, demo: Demo): Promise<Device> {
    const device = await Device.fresh(browser, laptopShape);
    await device.page.goto(demo.open);
    await device.agrees();
    return device;
  }

  /** A phone, let in by the code the server printed, typed as a hurried hand types. */
  static async phone(browser: Browser, demo: Demo): Promise<Device> {
    const device = await Device.fresh(browser, phoneShape);
    const { page } = device;
    await page.goto(demo.origin);
    await page.getByRole('link', { name: words.first.pair }).tap();
    await page.getByLabel(words.pair.code, { exact: true }).fill(demo.phone.replaceAll('-', '').toLowerCase());
    await page.getByRole('button', { name: words.pair.act, exact: true }).tap();
    await device.agrees();
    return device;
  }

  /** Header: this device and the server agree. */
  async agrees(): Promise<void> {
    await expect(this.page.getByTestId('state')).toHaveText(words.state.synced, { timeout: 30_000 });
  }

  /** The app's own files are on this device, and the service worker answers for the page. */
  async installed(): Promise<void> {
    const answers = () => this.page.evaluate(() => navigator.serviceWorker.controller !== null);
    await this.page.evaluate(() => navigator.serviceWorker.ready.then(() => true));
    // A page that began to load in the moment before the worker took over has it from its next load on.
    if (!(await answers())) await this.page.reload();
    await expect.poll(answers).toBe(true);
  }

  /** The actions that are not with the server yet, as they lie in IndexedDB. */
  async queue(): Promise<Action[]> {
    return (await this.#stored('queue')).map(([, row]) => JSON.parse(row));
  }

  /** What the server told this device, as it lies in IndexedDB. */
  copy(): Promise<[key: string, row: string][]> {
    return this.#stored('copy');
  }

  async #stored(store: 'copy' | 'queue'): Promise<[key: string, row: string][]> {
    return this.page.evaluate(async (store) => {
      const done = <T>(request: IDBRequest<T>) =>
        new Promise<T>((resolve, reject) => {
          request.onsuccess = () => resolve(request.result);
          request.onerror = () => reject(request.error ?? new Error('IndexedDB'));
        });
      const device = await done(indexedDB.open('device'));
      const journal: string = await done(device.transaction('meta').objectStore('meta').get('open'));
      device.close();
      const db = await done(indexedDB.open(`journal.${journal}`));
      const rows = db.transaction(store).objectStore(store);
      const [keys, values] = await Promise.all([done(rows.getAllKeys()), done(rows.getAll())]);
      db.close();
      return keys.map((key, i): [string, string] => [String(key), values[i]]);
    }, store);
  }

  /** From now on the disk is read at the very moment the page says "Saved". Ends with the document. */
  async watchSaves(): Promise<void> {
    await this.page.evaluate(async () => {
      const done = <T>(request: IDBRequest<T>) =>
        new Promise<T>((resolve, reject) => {
          request.onsuccess = () => resolve(request.result);
          request.onerror = () => reject(request.error ?? new Error('IndexedDB'));
        });
      const device = await done(indexedDB.open('device'));
      const journal: string = await done(device.transaction('meta').objectStore('meta').get('open'));
      device.close();
      const db = await done(indexedDB.open(`journal.${journal}`));
      const saves: { text: string; rows: string[]; afterTapMs: number }[] = [];
      let tapped = 0;
      addEventListener('click', (event) => (tapped = event.timeStamp), { capture: true });
      let line: Element | null = null;
      let said = '';
      new MutationObserver(() => {
        const now = document.querySelector('footer [role=status] p');
        const text = now?.textContent ?? '';
        if (now === line && text === said) return;
        [line, said] = [now, text];
        if (!text.includes('Saved')) return;
        const save = { text, rows: [] as string[], afterTapMs: performance.now() - tapped };
        void done(db.transaction('queue').objectStore('queue').getAll()).then((rows) => {
          save.rows = rows;
          saves.push(save);
        });
      }).observe(document.body, { subtree: true, childList: true, characterData: true });
      Object.assign(window, { saves });
    });
  }

  /**
   * The one touch that saves; the answer is what lay on the disk when the page said so. What was saved before may still
   * stand there, and moves along to another page: so nothing but that touch belongs into `deed`.
   */
  async saving(deed: () => Promise<void>, text: string): Promise<Save> {
    const saves = () => this.page.evaluate(() => (window as unknown as { saves: RawSave[] }).saves);
    // No person is as quick as a story: what came sooner after a save would be a part of the same wet touch.
    await this.page.waitForTimeout(Math.max(0, this.#savedAt + holdMs - performance.now()));
    const before = (await saves()).length;
    await deed();
    this.#savedAt = performance.now();
    await expect.poll(async () => (await saves()).length).toBeGreaterThan(before);
    const save = (await saves())[before];
    if (!save) throw new Error('a save is gone from the list');
    expect(save.text).toContain(text);
    return { actions: save.rows.map((row) => JSON.parse(row)), afterTapMs: save.afterTapMs };
  }

  /** Nothing was said that should not be; then it is put away. */
  async close(): Promise<void> {
    await this.context.close();
    expect(this.said).toEqual([]);
  }
}

interface RawSave {
  text: string;
  rows: string[];
  afterTapMs: number;
}

export interface Save {
  actions: Action[];
  afterTapMs: number;
}

/** As sync/wire writes one; only what stories look at. */
export interface Action {
  s: string;
  at: number;
  edits: { id: string; kind: string; set: Record<string, string | number | boolean | null> }[];
}

/** The fields an action sets on the first thing of a kind. */
export function setOf(action: Action | undefined, kind: string): Record<string, string | number | boolean | null> {
  const edit = action?.edits.find((it) => it.kind === kind);
  if (!edit) throw new Error(`no ${kind} in ${JSON.stringify(action)}`);
  return edit.set;
}
