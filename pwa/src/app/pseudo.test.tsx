// @vitest-environment happy-dom
import { readFileSync } from 'node:fs';
import { afterAll, beforeAll, expect, it, vi } from 'vitest';
import { screens, stage } from '../../look/screens.ts';
import { pseudo, unsaid } from './testing/pseudo.ts';
import { later } from './words/en/later.ts';
import { start } from './words/en/start.ts';

vi.mock('@playwright/test', () => ({ expect: null })); // what it does on a screen needs a browser

/** Words that stand for something in the contract with the core: shown as they are, they would be a text of ours. */
const codes = new Set(
  [...readFileSync('src/shared/core.ts', 'utf8').matchAll(/'([^']+)'/g)].map(([, code = '']) => code),
);
for (const words of [start, later]) keysOf(words);

function keysOf(it: unknown): void {
  if (typeof it !== 'object' || it === null || Array.isArray(it)) return;
  for (const [key, part] of Object.entries(it)) {
    codes.add(key);
    keysOf(part);
  }
}

/** Every other text that the worker sends is data. */
const data = new Set<string>();
function collect(it: unknown): void {
  if (typeof it === 'string') codes.has(it) || data.add(it);
  else if (typeof it === 'object' && it !== null) Object.values(it).forEach(collect);
}

/** The worker that answers now; another takes its place with each screen. */
let worker: { onerror: (() => void) | null } | null = null;
let app: Awaited<ReturnType<typeof modules>>;

async function modules() {
  const [{ go }, { erased }, { adult }, { syncNow }] = await Promise.all([
    import('./router.ts'),
    import('./state.ts'),
    import('./adults.tsx'),
    import('./core-client.ts'),
  ]);
  return { go, erased, adult, syncNow };
}

beforeAll(async () => {
  document.body.innerHTML = '<div id="app"></div>';
  new MutationObserver((all) => (changes += all.length)).observe(document.body, {
    subtree: true,
    childList: true,
    attributes: true,
    characterData: true,
  });
  localStorage.setItem('adult', 'yes');
  vi.spyOn(location, 'reload').mockImplementation(() => undefined);
  vi.stubGlobal('print', () => undefined);
  Object.assign(globalThis, { stage });
  await import('../../look/fake-worker.ts');
  const Fake = globalThis.Worker as unknown as new () => { onerror: (() => void) | null; say: (it: unknown) => void };
  const { say } = Fake.prototype;
  Fake.prototype.say = function (message: unknown) {
    collect(message);
    say.call(this, message);
  };
  vi.stubGlobal('Worker', function () {
    return (worker = new Fake());
  });
  // The app begins in English and has fetched all rooms, so a text that a module keeps is found.
  await import('./main.tsx');
  const { fetchRooms, isFetched } = await import('./routes.ts');
  await fetchRooms();
  expect(isFetched()).toBe(true);
  const { speak, fetchLater } = await import('./words.ts');
  // Dates and names of countries come in Greek letters, so that Latin ones are ours.
  await speak({ tag: 'el', start: async () => pseudo(start), later: async () => pseudo(later) }, () => 'el');
  await fetchLater();
  app = await modules();
});

let changes = 0;
/** Nothing is left to be drawn when the page goes. */
afterAll(async () => {
  app.go('/nowhere', true);
  await settle();
});

const turn = () => new Promise((resolve) => setTimeout(resolve));

/** Until the page has been as it is for a while. */
async function settle(): Promise<void> {
  for (let quiet = 0, n = 0; quiet < 3 && n < 100; n++) {
    const was = changes;
    await turn();
    quiet = changes === was ? quiet + 1 : 0;
  }
}

async function opened(screen: (typeof screens)[number]): Promise<void> {
  Object.assign(globalThis, { stage: { ...stage, ...screen.stage } });
  app.go('/nowhere', true);
  worker?.onerror?.();
  app.erased.value = null;
  app.adult.value = !screen.young;
  app.syncNow();
  await settle();
  app.go(screen.path, true);
  await settle();
}

/** Attributes that are shown or read aloud. */
const readAloud = ['aria-label', 'aria-description', 'aria-valuetext', 'title', 'placeholder', 'alt', 'label'];

/** Every text of the page, for the eye and for the ear. */
function texts(of: Node): string[] {
  if (of.nodeType === Node.TEXT_NODE) return [of.textContent ?? ''];
  const attributes = of instanceof Element ? readAloud.map((name) => of.getAttribute(name) ?? '') : [];
  return [...attributes, ...[...of.childNodes].flatMap(texts)];
}

/** An address, how a code is written, what was typed without its ingredient, and a word that the core sends. */
const itself = /^(http\S+|XXXX-XXXX-XXXX|[\d¼½¾]* ?(oz|top)|benchmark)$/;

const seen = new Set<string>();
function look(screen: string, found: Map<string, string>): void {
  const all = [...data];
  for (const text of [document.title, ...texts(document.getElementById('app') ?? document)]) {
    if (seen.has(text) || itself.test(text)) continue;
    seen.add(text);
    const rest = unsaid(text, all);
    if (rest !== '') found.set(text, `${screen}: ${rest} in ${text}`);
  }
}

const target = 'main :is(button, summary, input[type=checkbox], input[type=radio]), [data-testid=act]:is(button)';

let touched = 0;

/** Twenty at a time, so that no single test is long. */
const groups = Array.from({ length: Math.ceil(screens.length / 20) }, (_, i) => screens.slice(i * 20, i * 20 + 20));

it.each(groups.map((group) => [group[0]?.name, group] as const))(
  'the screens from “%s” on say nothing but words and data, also when their buttons are touched',
  async (_, group) => {
    const found = new Map<string, string>();
    for (const screen of group) {
      await opened(screen);
      look(screen.name, found);
      const done = new Set<string>();
      for (let n = 0; n < 12; n++) {
        const next = [...document.querySelectorAll<HTMLElement>(target)].find(
          (it) => !it.hasAttribute('disabled') && !done.has(nameOf(it)),
        );
        if (!next) break;
        done.add(nameOf(next));
        next.click();
        touched++;
        await settle();
        look(screen.name, found);
        if (location.pathname !== screen.path) await opened(screen);
      }
    }
    expect([...found.values()]).toEqual([]);
  },
);

it('most of the words that take nothing were on one of them', () => {
  expect(touched).toBeGreaterThan(500);
  const all = fixed([start, later]);
  const shown = [...seen].join('\n');
  expect(all.filter((text) => shown.includes(pseudo(text))).length / all.length).toBeGreaterThan(0.7);
});

const nameOf = (it: Element) => (it.getAttribute('aria-label') ?? it.textContent ?? '').replace(/\d+/g, '');

function fixed(it: unknown): string[] {
  if (typeof it === 'string') return it === '' ? [] : [it];
  return typeof it === 'object' && it !== null ? Object.values(it).flatMap(fixed) : [];
}

it('would find a text that stands in a screen, and one cut out of the words or pasted to them', () => {
  const saved = pseudo('Saved');
  const page = document.createElement('main');
  page.innerHTML = `<h1>${saved}</h1><p title="Put away">juniper-heavy gin, ${saved}</p><button aria-label="Undo">${saved} twice</button>
    <p>${saved.slice(0, 4)}</p><p>juniper-heavy ginger</p><p>12 ml</p><p>${pseudo((n: string) => `${n} ml`)('12')}</p>`;
  expect(
    texts(page)
      .map((text) => unsaid(text, ['juniper-heavy gin']))
      .filter((text) => text !== ''),
  ).toEqual(['Put away', 'Undo', 'twice', '⟦Sáv', 'juniper-heavy ginger', '12 ml']);
});
