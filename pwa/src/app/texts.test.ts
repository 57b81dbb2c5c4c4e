import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { parseAst } from 'vite';
import { describe, expect, it } from 'vitest';

/** Paths from src/app to what they hold. */
type Files = Readonly<Record<string, string>>;

interface Node {
  type: string;
  start: number;
  [part: string]: unknown;
}

/** Attributes whose text nobody reads. */
const unread: ReadonlySet<string> = new Set(
  `accept autocapitalize autocomplete class control d enterkeyhint fill for form height href htmlFor id inputMode key name pattern rel
  role spellcheck stroke style target transform type value viewBox width`.split(/\s+/),
);
const unreadKind = /^(data-|stroke-|text-anchor|aria-(?!label$|description$|valuetext$|roledescription$))/;

/** Calls whose text is for a log, a selector or the core, not for the person. */
const unsaid =
  /^(console\.\w+|Error|TypeError|.*\.(querySelector(All)?|closest|matches|startsWith|endsWith|includes|split|join|test|exec|mark|add|setItem|getItem|toDataURL|getContext|createElement|addEventListener|removeEventListener)|matchMedia|api|get|send)$/;

/** Asked of the browser, told to another part of the app, a key, or typed for the core to read. */
const notRead: ReadonlySet<string> = new Set([
  '(display-mode: standalone)',
  '(pointer: coarse)',
  'take over',
  'the worker ended',
  'plain ',
  'spec ',
  'undo ',
  'yes ',
  ' proof',
  ' uk proof',
  `'Iowan Old Style','Palatino Linotype',Palatino,'Noto Serif',Georgia,'DejaVu Serif',serif`,
  `-apple-system,'Segoe UI',Roboto,'Noto Sans','DejaVu Sans',sans-serif`,
]);
const keys = /^(Home|End|Enter|Escape|(Page|Arrow)(Up|Down|Left|Right))$/;

/** What is taken from a text of the core until it sends the parts apart. */
const takenApart = ["title.split(', ').slice(1).join(', ')"];

/** Texts written where they are shown, and calls that name a language; none when all is well. */
function faults(files: Files): string[] {
  return Object.entries(files).flatMap(([path, text]) => {
    const found: string[] = [];
    const at = (node: Node) => `${path}:${text.slice(0, node.start).split('\n').length}`;
    const source = (node: Node) => text.slice(node.start, node.end as number);
    walk(parseAst(text, { lang: path.endsWith('x') ? 'tsx' : 'ts' } as never) as unknown as Node, [], (node, above) => {
      if (namesLanguage(node, source)) found.push(`${at(node)} names a language: ${source(node)}`);
      if (isList(node) && !takenApart.includes(source(node))) found.push(`${at(node)} joins a list: ${source(node)}`);
      for (const said of textsOf(node))
        if (node.type === 'JSXText' ? /\p{L}/u.test(said) : isShown(above, source) && isWorded(said))
          found.push(`${at(node)} says ${JSON.stringify(said.trim())}`);
    });
    return found;
  });
}

function walk(node: Node, above: readonly Node[], see: (node: Node, above: readonly Node[]) => void): void {
  see(node, above);
  for (const part of Object.values(node))
    for (const child of Array.isArray(part) ? part : [part])
      if (typeof child === 'object' && child !== null && typeof (child as Node).type === 'string')
        walk(child as Node, [...above, node], see);
}

function textsOf(node: Node): string[] {
  if (node.type === 'JSXText' || (node.type === 'Literal' && typeof node.value === 'string'))
    return [String(node.value)];
  if (node.type === 'TemplateLiteral')
    return (node.quasis as { value: { cooked: string } }[]).map(({ value }) => value.cooked);
  return [];
}

/** Two words one after the other, a word with a capital, or a word set off from what is put beside it. */
const isWorded = (said: string): boolean =>
  !notRead.has(said) &&
  !keys.test(said) &&
  /\p{L}{2,}[,;:.]?\s+\p{L}|^\s*\p{Lu}\p{Ll}+|\p{L}[,;:.]?\s+$|^[\s\u00a0]+\p{L}/u.test(said.replace(markup, ''));
const markup = /<\/?[a-z]+(\s[^<>]*)?>?|[\s"]?[\w-]+="[^"]*"?/g;

/** Not an import, a type, a key, what is compared, an attribute nobody reads, or a call that says nothing. */
function isShown(above: readonly Node[], source: (node: Node) => string): boolean {
  const parent = above[above.length - 1];
  if (!parent) return false;
  if (/^(Import|Export(All|Named))/.test(parent.type) || parent.type === 'ImportExpression') return false;
  if (parent.type === 'SwitchCase') return false; // what is compared with
  if (parent.type === 'BinaryExpression' && /^[!=]==?$/.test(String(parent.operator))) return false;
  for (const node of above) {
    if (/^TS(?!(As|Satisfies|NonNull)Expression)/.test(node.type)) return false;
    if (node.type === 'JSXAttribute') {
      const name = source(node.name as Node);
      if (unread.has(name) || unreadKind.test(name)) return false;
    }
    if ((node.type === 'CallExpression' || node.type === 'NewExpression') && unsaid.test(source(node.callee as Node)))
      return false;
  }
  return true;
}

/** An Intl call or a method by the language whose language is written down. */
function namesLanguage(node: Node, source: (node: Node) => string): boolean {
  if (node.type !== 'CallExpression' && node.type !== 'NewExpression') return false;
  const callee = source(node.callee as Node);
  const all = node.arguments as Node[];
  const [first] = /\.localeCompare$/.test(callee) ? all.slice(1) : all;
  if (!/(^|\.)Intl\.(?!supportedValuesOf)\w+$|\.(toLocale\w+|localeCompare)$/.test(callee) || first === undefined)
    return false;
  const isText = (it: Node | null) => it !== null && textsOf(it).length > 0;
  return isText(first) || (first.type === 'ArrayExpression' && (first.elements as Node[]).some(isText));
}

/** Lists differ by language in what stands between their things. */
const isList = (node: Node): boolean =>
  node.type === 'CallExpression' &&
  (node.callee as Node).type === 'MemberExpression' &&
  ((node.callee as Node).property as Node).name === 'join' &&
  /^,\s$/.test(textsOf((node.arguments as Node[])[0] ?? (node.callee as Node)).join(''));

function everything(): Files {
  const here = fileURLToPath(new URL('.', import.meta.url));
  const names = readdirSync(here, { recursive: true, encoding: 'utf8' }).map((name) => name.replaceAll('\\', '/'));
  return Object.fromEntries(
    names
      .filter((name) => /\.tsx?$/.test(name) && !/\.test\.tsx?$|^testing\/|^words\/|\.d\.ts$/.test(name))
      .map((name) => [name, readFileSync(here + name, 'utf8')]),
  );
}

describe('what a person reads', () => {
  it('is written among the words, and in no language by name', () => {
    const files = everything();
    expect(Object.keys(files).length).toBeGreaterThan(150);
    expect(faults(files)).toEqual([]);
  });

  it('is checked: what is well written passes', () => {
    for (const text of [
      'const it = <p class="quiet small" aria-live="polite">{words.saved} · 12 %</p>;',
      'const it = <button aria-label={words.undo} onClick={() => go("/keeper")} />;',
      "console.error('the worker has ended'); if (state === 'catching up') throw new Error('no such state here');",
      "import { words } from './the words.ts'; type Sort = 'one thing' | 'Another';",
      'new Intl.NumberFormat(reader).format(2); new Intl.DateTimeFormat(); name.localeCompare(other);',
      'const it = `<path d="M${x}" fill="none"/>`; const told = [one, two].join(" · ");',
      "switch (event.key) { case 'Home': case 'ArrowUp': break; }",
    ])
      expect(faults({ 'rooms/bar/index.tsx': text }), text).toEqual([]);
  });

  it.each([
    ['<p>saved</p>', 'says "saved"'],
    ['<p>{n} ml</p>', 'says "ml"'],
    ["<p>{'Saved just now'}</p>", 'says "Saved just now"'],
    ["<p>{done ? 'Saved' : words.no}</p>", 'says "Saved"'],
    ['<p>{`${n} glasses`}</p>', 'says "glasses"'],
    ["<p>{n + ' of them'}</p>", 'says "of them"'],
    ['<button aria-label="Put away" />', 'says "Put away"'],
    ['<Field label="Name" />', 'says "Name"'],
    ['<Field help={`Up to ${n}`} />', 'says "Up to"'],
    ["say({ title: 'Two values' })", 'says "Two values"'],
    ["{ one: 'The first' }", 'says "The first"'],
    ["names.join(', ')", "joins a list: names.join(', ')"],
    ["new Intl.NumberFormat('en')", "names a language: new Intl.NumberFormat('en')"],
    ["Intl.DateTimeFormat('en-GB', {})", "names a language: Intl.DateTimeFormat('en-GB', {})"],
    ["new Intl.DisplayNames(['en'], {})", "names a language: new Intl.DisplayNames(['en'], {})"],
    ["date.toLocaleDateString('de')", "names a language: date.toLocaleDateString('de')"],
    ["a.localeCompare(b, 'en')", "names a language: a.localeCompare(b, 'en')"],
    ['new Intl.PluralRules(`en`)', 'names a language: new Intl.PluralRules(`en`)'],
  ])('would find %s', (text, fault) => {
    expect(faults({ 'rooms/bar/index.tsx': `const it = ${text};` })).toEqual([`rooms/bar/index.tsx:1 ${fault}`]);
  });
});
