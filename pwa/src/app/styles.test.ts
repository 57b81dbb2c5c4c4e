import { readdirSync, readFileSync } from 'node:fs';
import { posix } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';

/** Paths from src/app to what they hold. */
type Files = Readonly<Record<string, string>>;

const global = ['tokens.css', 'base.css'];
const fewestRooms = 4;

/** What is wrong with the style sheets and with how the pages use them; none when all is well. */
function faults(files: Files): string[] {
  const found: string[] = [];
  const sheets = Object.keys(files).filter((path) => path.endsWith('.css'));
  const pages = Object.keys(files).filter((path) => /\.tsx?$/.test(path) && !path.endsWith('.d.ts'));
  const classes = new Map(sheets.map((path) => [path, classesOf(files[path] ?? '')]));

  // Each class is declared in one sheet, and only the two global sheets are no modules.
  const home = new Map<string, string>();
  for (const [sheet, words] of classes) {
    if (!sheet.endsWith('.module.css') && !global.includes(sheet))
      found.push(`${sheet} is neither a module nor global`);
    if (/:global\b/.test(bare(files[sheet] ?? ''))) found.push(`${sheet} says :global`);
    const layered = /^\s*@layer base, part, tone;\s*@layer (base|part|tone) \{/.test(bare(files[sheet] ?? ''));
    if (/^parts\//.test(sheet) && !layered)
      found.push(`${sheet} does not say the order of the layers and stand in one`);
    if (/^rooms\//.test(sheet) && /@layer\b/.test(bare(files[sheet] ?? '')))
      found.push(`${sheet} stands in a layer, and could lose to a part`);
    for (const word of words) {
      const other = home.get(word);
      if (other) found.push(`${word} is declared in ${other} and in ${sheet}`);
      home.set(word, sheet);
    }
  }
  if (classes.get('tokens.css')?.size) found.push('tokens.css declares classes');

  // What the pages use: keys of modules, and words of base.css.
  const base = classes.get('base.css') ?? new Set<string>();
  const usedKeys = new Map<string, Set<string>>();
  const rooms = new Map<string, Set<string>>();
  for (const page of pages) {
    const text = files[page] ?? '';
    for (const [, what = '', from = ''] of text.matchAll(/^import\s+(?:([^;]*?)\s+from\s+)?'([^']+\.css)';/gm)) {
      const sheet = posix.join(posix.dirname(page), from);
      if (roomOf(sheet) !== '' && roomOf(sheet) !== roomOf(page)) found.push(`${page} imports ${sheet}`);
      const [, name] = /^\* as (\w+)$/.exec(what) ?? [];
      if (!name) found.push(`${page} does not import ${sheet} as a module`);
      else
        for (const [, key = ''] of text.matchAll(new RegExp(`\\b${name}\\.(\\w+)`, 'g')))
          usedKeys.set(sheet, (usedKeys.get(sheet) ?? new Set()).add(key));
    }
    for (const word of plainWords(text)) {
      if (!base.has(word)) found.push(`${page} uses ${word}, which base.css does not declare`);
      if (roomOf(page) !== '') rooms.set(word, (rooms.get(word) ?? new Set()).add(roomOf(page)));
    }
    if (/\bclassName\b|\bclassList\b|getElementsByClassName/.test(text)) found.push(`${page} reads or writes classes`);
  }
  for (const word of base) {
    const by = rooms.get(word)?.size ?? 0;
    if (by < fewestRooms) found.push(`${word} of base.css is used by ${by} rooms`);
  }
  for (const [sheet, words] of classes)
    if (sheet.endsWith('.module.css'))
      for (const word of words)
        if (!usedKeys.get(sheet)?.has(keyOf(word))) found.push(`${word} of ${sheet} is used nowhere`);
  return found;
}

const roomOf = (path: string): string => /^rooms\/(\w+)\//.exec(path)?.[1] ?? '';
const keyOf = (word: string): string => word.replace(/-+(\w)/g, (_, letter: string) => letter.toUpperCase());
const bare = (css: string): string => css.replace(/\/\*[\s\S]*?\*\//g, '').replace(/"[^"]*"|'[^']*'/g, "''");

/** The classes of the selectors of a sheet. */
function classesOf(css: string): Set<string> {
  const found = new Set<string>();
  for (const [, selector = ''] of bare(css).matchAll(/([^{};]*)\{/g))
    if (!selector.trim().startsWith('@'))
      for (const [, word = ''] of selector.matchAll(/\.([a-z_][\w-]*)/gi)) found.add(word);
  return found;
}

/** The words that stand as text in class attributes, whichever way they are written there. */
function plainWords(page: string): string[] {
  const found: string[] = [];
  const take = (text: string) => found.push(...text.split(/\s+/).filter((word) => word !== ''));
  for (const at of page.matchAll(/\bclass=/g)) {
    const from = at.index + at[0].length;
    if (page[from] === '"') take(page.slice(from + 1, page.indexOf('"', from + 1)));
    else {
      let deep = 0;
      let end = from;
      do deep += page[end] === '{' ? 1 : page[end] === '}' ? -1 : 0;
      while (deep > 0 && ++end < page.length);
      const expression = page.slice(from + 1, end).replace(/[!=]==?\s*'[^']*'/g, ''); // what is compared is no class
      for (const [, text = ''] of expression.matchAll(/'([^']*)'/g)) take(text);
      for (const [, text = ''] of expression.matchAll(/`([^`]*)`/g)) take(text.replace(/\$\{[^}]*\}/g, ' '));
    }
  }
  return found;
}

function everything(): Files {
  const here = fileURLToPath(new URL('.', import.meta.url));
  const names = readdirSync(here, { recursive: true, encoding: 'utf8' }).map((name) => name.replaceAll('\\', '/'));
  return Object.fromEntries(
    names
      .filter((name) => /\.(css|tsx?)$/.test(name) && !/\.test\.tsx?$|^testing\//.test(name))
      .map((name) => [name, readFileSync(here + name, 'utf8')]),
  );
}

/** A small app without a fault: one word of four rooms, one part, one room of its own. */
const small: Files = {
  'tokens.css': ':root { --ink: #fff; }',
  'base.css': '@layer base, part, tone; @layer base { .quiet { color: gray; } }',
  'parts/chip.module.css': "@layer base, part, tone; @layer part { .chip[title='a .b'] { width: 0.5rem; } }",
  'parts/chip.tsx': `import * as chipCss from './chip.module.css';\nconst Chip = <i class={chipCss.chip} />;`,
  'rooms/bar/style.module.css': '/* .no */ .two-up > li { margin: 0; } @media print { .two-up { margin: 1px; } }',
  'rooms/bar/index.tsx': `import * as css from './style.module.css';\nconst Bar = <p class={a === 'x' ? css.twoUp : \`quiet \${css.twoUp}\`} />;`,
  ...Object.fromEntries(['one', 'two', 'six'].map((room) => [`rooms/${room}/index.tsx`, `<p class="quiet" />`])),
};
const withThis = (change: Files): string[] => faults({ ...small, ...change });
const less = (path: string): Files => Object.fromEntries(Object.entries(small).filter(([it]) => it !== path));

describe('the style sheets', () => {
  it('have no fault', () => {
    const files = everything();
    expect(Object.keys(files).filter((path) => path.endsWith('.module.css')).length).toBeGreaterThan(40);
    expect(faults(files)).toEqual([]);
  });

  it('are checked: a small app passes, and each thing that may be wrong is found', () => {
    expect(faults(small)).toEqual([]);
    expect(
      withThis({ 'parts/tick.module.css': '@layer base, part, tone; @layer part { .chip { margin: 0; } }' }),
    ).toEqual([
      'chip is declared in parts/chip.module.css and in parts/tick.module.css',
      'chip of parts/tick.module.css is used nowhere',
    ]);
    expect(withThis({ 'rooms/bar/style.module.css': '.two-up { margin: 0; } .gone { margin: 0; }' })).toEqual([
      'gone of rooms/bar/style.module.css is used nowhere',
    ]);
    expect(withThis({ 'rooms/one/index.tsx': '<p class="quiet"><i class={`quite ${css}`} /></p>' })).toEqual([
      'rooms/one/index.tsx uses quite, which base.css does not declare',
    ]);
    expect(withThis({ 'rooms/one/index.tsx': "<p class={old ? 'quiet dim' : undefined} />" })).toEqual([
      'rooms/one/index.tsx uses dim, which base.css does not declare',
    ]);
    expect(
      withThis({ 'rooms/one/index.tsx': `import * as css from '../bar/style.module.css';\n<p class="quiet" />` }),
    ).toEqual(['rooms/one/index.tsx imports rooms/bar/style.module.css']);
    expect(withThis({ 'rooms/one/index.tsx': `import '../../base.css';\n<p class="quiet" />` })).toEqual([
      'rooms/one/index.tsx does not import base.css as a module',
    ]);
    expect(withThis({ 'rooms/bar/style.module.css': '.two-up :global(.x) { margin: 0; }' })).toContain(
      'rooms/bar/style.module.css says :global',
    );
    expect(withThis({ 'rooms/bar/more.css': 'p { margin: 0; }' })).toEqual([
      'rooms/bar/more.css is neither a module nor global',
    ]);
    expect(withThis({ 'tokens.css': '.ink { color: red; }' })).toContain('tokens.css declares classes');
    expect(withThis({ 'rooms/bar/style.module.css': '@layer part { .two-up { margin: 0; } }' })).toEqual([
      'rooms/bar/style.module.css stands in a layer, and could lose to a part',
    ]);
    for (const alone of ['.chip { margin: 0; }', '@layer part { .chip { margin: 0; } }'])
      expect(withThis({ 'parts/chip.module.css': alone })).toEqual([
        'parts/chip.module.css does not say the order of the layers and stand in one',
      ]);
    expect(withThis({ 'rooms/one/index.tsx': '<p class="quiet" ref={(it) => it.classList} />' })).toEqual([
      'rooms/one/index.tsx reads or writes classes',
    ]);
    expect(faults(less('rooms/six/index.tsx'))).toEqual(['quiet of base.css is used by 3 rooms']);
  });
});
