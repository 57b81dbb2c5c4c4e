import { readdirSync, readFileSync } from 'node:fs';
import { posix } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';

/** Paths from src to what they hold. */
type Files = Readonly<Record<string, string>>;

/** What the browser begins with; all else is fetched because something here names it. */
const entries = ['app/main.tsx', 'core/core.worker.ts', 'sw/sw.ts'];

/** The file that opens the rooms: it alone names what lies in them. */
const opener = 'app/routes.ts';

/** What is wrong with who imports whom; none when all is well. */
function faults(files: Files): string[] {
  const found: string[] = [];
  const paths = Object.keys(files);
  const imports = new Map(paths.map((path) => [path, importsOf(path, files[path] ?? '')]));
  const isTest = (path: string): boolean => /\.test\.tsx?$|\/testing\//.test(path);

  for (const [path, named] of imports) {
    if (isTest(path)) continue;
    for (const to of named) {
      const room = roomOf(to);
      if (room !== '' && room !== roomOf(path) && path !== opener)
        found.push(roomOf(path) === '' ? `${path} imports ${to} of a room` : `${path} imports ${to} of another room`);
      if (isTest(to) || to.startsWith('../')) found.push(`${path} imports ${to}, which is for tests`);
    }
  }

  // Whatever no entry leads to is either a test's or nobody's.
  const reached = new Set<string>();
  const visit = (path: string): void => {
    if (reached.has(path) || !imports.has(path)) return;
    reached.add(path);
    imports.get(path)?.forEach(visit);
  };
  entries.forEach(visit);
  for (const path of paths)
    if (!reached.has(path) && !isTest(path) && !path.endsWith('.d.ts')) found.push(`nothing built imports ${path}`);

  // What comes with the start is drawn before the words of the rooms are here.
  const begun = new Set<string>();
  const begin = (path: string): void => {
    if (begun.has(path) || files[path] === undefined) return;
    begun.add(path);
    importsOf(path, (files[path] ?? '').replace(/\bimport\s*\(/g, 'later(')).forEach(begin);
  };
  begin('app/main.tsx');
  for (const path of begun)
    if (/import \{[^}]*\blater\b[^}]*\} from '[./]+words\.ts'/.test(files[path] ?? ''))
      found.push(`${path} comes with the start and says what the rooms say`);

  for (const circle of circlesOf(imports, opener)) found.push(`a circle: ${circle.join(' → ')}`);
  return found;
}

const roomOf = (path: string): string => /^app\/rooms\/(\w+)\//.exec(path)?.[1] ?? '';

/** Every module that a file names, whichever way; types too, since they are read together. */
function importsOf(path: string, text: string): string[] {
  const code = text.replace(/\/\*[\s\S]*?\*\/|^\s*\/\/.*$/gm, '');
  const named = code.matchAll(/(?:\bfrom|\bimport|\bimport\s*\(|\bnew URL\()\s*'(\.{1,2}\/[^'?]+)/g);
  return [...new Set([...named].map(([, to = '']) => posix.join(posix.dirname(path), to)))].filter((to) =>
    /\.tsx?$/.test(to),
  );
}

/** Each circle once, as the way round it. What opens the rooms when they are wanted closes none. */
function circlesOf(imports: ReadonlyMap<string, readonly string[]>, without: string): string[][] {
  const circles: string[][] = [];
  const done = new Set<string>();
  const walk = (path: string, way: readonly string[]): void => {
    const at = way.indexOf(path);
    if (at >= 0) circles.push([...way.slice(at), path]);
    if (at >= 0 || done.has(path)) return;
    for (const to of imports.get(path) ?? []) if (to !== without) walk(to, [...way, path]);
    done.add(path);
  };
  for (const path of imports.keys()) walk(path, []);
  return circles;
}

function everything(): Files {
  const here = fileURLToPath(new URL('..', import.meta.url));
  const names = readdirSync(here, { recursive: true, encoding: 'utf8' }).map((name) => name.replaceAll('\\', '/'));
  return Object.fromEntries(
    names.filter((name) => /\.tsx?$/.test(name)).map((name) => [name, readFileSync(here + name, 'utf8')]),
  );
}

/** A small app without a fault: two rooms, a part that both use, a test. */
const small: Files = {
  'app/main.tsx':
    "import { routes } from './routes.ts';\nnew Worker(new URL('../core/core.worker.ts', import.meta.url));",
  'app/routes.ts': "import { Bar } from './rooms/bar/index.tsx';\nconst load = () => import('./rooms/den/index.tsx');",
  'app/rooms/bar/index.tsx': "import { chip } from '../../parts/chip.ts';\nimport './list.ts';",
  'app/rooms/bar/list.ts': '',
  'app/rooms/den/index.tsx': "// import '../bar/list.ts';\nimport { chip } from '../../parts/chip.ts';",
  'app/parts/chip.ts': "/* import '../rooms/bar/list.ts' */",
  'app/parts/chip.test.ts': "import { fake } from '../testing/fake.ts';\nimport { Bar } from '../rooms/bar/index.tsx';",
  'app/testing/fake.ts': '',
  'app/style.module.css.d.ts': '',
  'core/core.worker.ts': '',
  'sw/sw.ts': '',
};
const withThis = (change: Files): string[] => faults({ ...small, ...change });

describe('who imports whom', () => {
  it('has no fault', () => {
    const files = everything();
    expect(Object.keys(files).length).toBeGreaterThan(200);
    expect(faults(files)).toEqual([]);
  });

  it('is checked: a small app passes, and each thing that may be wrong is found', () => {
    expect(faults(small)).toEqual([]);
    for (const text of [
      "import { row } from '../bar/list.ts';",
      "import type { Row } from '../bar/list.ts';",
      "export { row } from '../bar/list.ts';",
      "export * from\n  '../bar/list.ts';",
      "const row = await import('../bar/list.ts');",
      "import '../bar/list.ts';",
    ])
      expect(withThis({ 'app/rooms/den/index.tsx': text }), text).toEqual([
        'app/rooms/den/index.tsx imports app/rooms/bar/list.ts of another room',
      ]);
    expect(withThis({ 'app/parts/chip.ts': "import { row } from '../rooms/bar/list.ts';" })).toEqual([
      'app/parts/chip.ts imports app/rooms/bar/list.ts of a room',
    ]);
    expect(withThis({ 'app/main.tsx': `${small['app/main.tsx']}\nimport './rooms/bar/list.ts';` })).toEqual([
      'app/main.tsx imports app/rooms/bar/list.ts of a room',
    ]);
    expect(withThis({ 'app/parts/old.ts': '', 'app/parts/old.test.ts': "import { old } from './old.ts';" })).toEqual([
      'nothing built imports app/parts/old.ts',
    ]);
    expect(withThis({ 'app/parts/chip.ts': "import { fake } from '../testing/fake.ts';" })).toEqual([
      'app/parts/chip.ts imports app/testing/fake.ts, which is for tests',
    ]);
    expect(withThis({ 'app/parts/chip.ts': "import { drink } from '../../../look/answers.ts';" })).toEqual([
      'app/parts/chip.ts imports ../look/answers.ts, which is for tests',
    ]);
    expect(withThis({ 'app/rooms/bar/list.ts': "import { Bar } from './index.tsx';" })).toEqual([
      'a circle: app/rooms/bar/index.tsx → app/rooms/bar/list.ts → app/rooms/bar/index.tsx',
    ]);
    expect(withThis({ 'app/parts/chip.ts': "import { later, words } from '../words.ts';" })).toEqual([
      'app/parts/chip.ts comes with the start and says what the rooms say',
    ]);
    expect(withThis({ 'app/rooms/den/index.tsx': "import { later } from '../../words.ts';" })).toEqual([]);
  });
});
