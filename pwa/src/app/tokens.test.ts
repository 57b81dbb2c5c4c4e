import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { ground } from './theme.ts';

/**
 * Contrast by WCAG 2 (W3C, relative luminance and contrast ratio), computed from tokens.css. The least allowed is 4.5:1 for
 * text and 3:1 for large figures and graphics (success criteria 1.4.3 and 1.4.11).
 */
const pairs: [front: string, back: string, least: number][] = [
  ['ink', 'ground', 4.5],
  ['ink', 'raised', 4.5],
  ['ink', 'bay-wash', 4.5],
  ['soft', 'ground', 4.5],
  ['soft', 'raised', 4.5],
  ['soft', 'bay-wash', 4.5],
  ['on-quince', 'quince', 4.5],
  ['bay', 'ground', 4.5],
  ['bay', 'raised', 4.5],
  ['bay', 'bay-wash', 4.5],
  ['rust', 'ground', 4.5],
  ['rust', 'raised', 4.5],
  ['rust', 'bay-wash', 4.5],
  ['ground', 'ink', 4.5],
  ['etch', 'ground', 3],
  ['etch', 'raised', 3],
  ['level', 'doubt', 3],
];

const css = readFileSync(new URL('./tokens.css', import.meta.url), 'utf8')
  .replace(/\/\*[\s\S]*?\*\//g, '')
  .replaceAll("'", '"');

/** Every `selector { … }` with colours, in order, with the media query it stands in. */
function blocks(): { media: string; selector: string; colours: Record<string, string> }[] {
  const found = [];
  let media = '';
  for (const m of css.matchAll(/(@media[^{]+)\{|([^{}]+)\{([^{}]*)\}|\}/g)) {
    if (m[1]) media = m[1].trim();
    else if (m[2] !== undefined) found.push({ media, selector: m[2].trim(), colours: colours(m[3] ?? '') });
    else media = '';
  }
  return found;
}

const colours = (text: string) =>
  Object.fromEntries([...text.matchAll(/--([a-z-]+):\s*(#[0-9a-f]{3,8})\b/gi)].map((m) => [m[1] ?? '', m[2] ?? '']));

/** The colours in force: every block that applies, the later and the more particular over the earlier. */
function inForce(how: { system: 'dark' | 'light'; more: boolean; theme?: 'dark' | 'light' }) {
  const applies = blocks().filter(({ media, selector }) => {
    if (media.includes('prefers-color-scheme: light') && how.system !== 'light') return false;
    if (media.includes('prefers-contrast: more') && !how.more) return false;
    if (media.includes('reduced-motion')) return false;
    if (selector.includes(':not([data-theme="dark"])') && how.theme === 'dark') return false;
    const rest = selector.replace(/:not\([^)]*\)/g, '');
    if (rest.includes('[data-theme="light"]') && how.theme !== 'light') return false;
    return rest.startsWith(':root');
  });
  const weight = (selector: string) => (selector.match(/\[/g) ?? []).length;
  applies.sort((a, b) => weight(a.selector) - weight(b.selector)); // stable: source order among equals
  return Object.assign({}, ...applies.map((block) => block.colours)) as Record<string, string>;
}

function luminance(hex: string): number {
  const [r, g, b] = [1, 3, 5].map((at) => {
    const c = parseInt(hex.slice(at, at + 2), 16) / 255;
    return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
  }) as [number, number, number];
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}

function contrast(a: string, b: string): number {
  const [dark, light] = [luminance(a), luminance(b)].sort((x, y) => x - y) as [number, number];
  return (light + 0.05) / (dark + 0.05);
}

it('black on white is 21:1, and #767676 on white just 4.5:1 (W3C examples)', () => {
  expect(contrast('#000000', '#ffffff')).toBeCloseTo(21, 5);
  expect(contrast('#767676', '#ffffff')).toBeCloseTo(4.54, 2);
});

const themes = {
  'dark, as the system': { system: 'dark', more: false },
  'light, as the system': { system: 'light', more: false },
  'dark, chosen on a light system': { system: 'light', more: false, theme: 'dark' },
  'light, chosen on a dark system': { system: 'dark', more: false, theme: 'light' },
  'dark, more contrast by the system': { system: 'dark', more: true },
  'light, more contrast by the system': { system: 'light', more: true },
  'dark, chosen on a light system that wants more': { system: 'light', more: true, theme: 'dark' },
  'light, chosen on a dark system that wants more': { system: 'dark', more: true, theme: 'light' },
} as const;

describe.each(Object.entries(themes))('%s', (name, how) => {
  const tokens = inForce(how);

  it.each(pairs)('%s on %s is %d:1 or more', (front, back, least) => {
    const [a, b] = [tokens[front], tokens[back]];
    if (!a || !b) throw new Error(`tokens.css does not set --${front} and --${back} for ${name}`);
    // Who asks for more gets 7:1 for text (success criterion 1.4.6).
    expect(contrast(a, b)).toBeGreaterThanOrEqual(how.more && least === 4.5 ? 7 : least);
  });

  it('has a ground of the theme it is named for', () => {
    expect(luminance(tokens.ground ?? '') < 0.5 ? 'dark' : 'light').toBe(name.startsWith('dark') ? 'dark' : 'light');
  });
});

it('holds no pure black or white, and the browser bar has the colour of the page', () => {
  for (const { colours: own } of blocks()) {
    for (const hex of Object.values(own)) expect(hex.toLowerCase()).not.toMatch(/^#(000|fff|000000|ffffff)$/);
  }
  expect(inForce({ system: 'dark', more: false }).ground).toBe(ground.dark);
  expect(inForce({ system: 'light', more: false }).ground).toBe(ground.light);
  const page = readFileSync(new URL('../../index.html', import.meta.url), 'utf8');
  expect([...page.matchAll(/theme-color" content="(#[0-9a-f]{6})"/g)].map((m) => m[1])).toEqual([
    ground.dark,
    ground.light,
  ]);
});
