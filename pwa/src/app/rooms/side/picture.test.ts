import { expect, it } from 'vitest';
import { comparisonOf, compared } from '../../../../look/comparing.ts';
import { firstView } from './pairings.ts';
import { fileName, pictureOf, sharpness, wrapped } from './picture.ts';
import { signed } from '../../parts/pairing.ts';

const answer = (id: string) => comparisonOf(id, { key: 'AU', grams: 10 } as never);
const drawn = (id: string, name = 'Orchard Sour') => {
  const it = { ...answer(id), name };
  return pictureOf(it, firstView(it.swaps), ['It is ahead.'], '15 May 2026');
};

it('draws each pairing of the grid with its points, what is likely and its own shape', () => {
  const svg = drawn(compared.twelve)?.svg ?? '';
  for (const text of [
    'Orchard Sour',
    'It is ahead.',
    'soft floral gin',
    '+0.6',
    '+0.1 to +1.1',
    'predicted',
    '15 May 2026',
  ])
    expect(svg).toContain(text);
  const found = answer(compared.twelve).findings;
  expect(svg.match(/<circle [^>]*r="4"/g)).toHaveLength(
    found.filter(({ tasted, benchmark }) => tasted > 0 && !benchmark).length,
  );
  expect(svg.match(/<circle [^>]*r="3.5"/g)).toHaveLength(found.filter(({ tasted }) => tasted === 0).length);
});

it('draws the ranking where there is no grid', () => {
  const svg = drawn(compared.one)?.svg ?? '';
  expect(svg).toContain('probably better');
  const figures = [...svg.matchAll(/font-size="20" text-anchor="end">([^<]+)</g)].map(([, it]) => it);
  expect(figures).toEqual(
    answer(compared.one)
      .findings.filter(({ benchmark }) => !benchmark)
      .map(({ d }) => signed(d ?? 0)),
  );
});

it('says what is held of a third swap', () => {
  expect(drawn(compared.three)?.svg).toContain('instead of clear pear: clear pear');
});

it('needs nothing from elsewhere and is well-formed whatever is in a name', () => {
  const svg = drawn(compared.two, 'A "sour" <b> & \u0007more')?.svg ?? '';
  expect(svg).toContain('A &quot;sour&quot; &lt;b&gt; &amp;');
  expect(svg).not.toMatch(/\u0007|<b>|href|url\(|@import|<image|foreignObject/);
  expect(svg.match(/<text /g)?.length).toBe(svg.match(/<\/text>/g)?.length);
});

it('draws nothing too large to be read, and no picture sharper than a phone would draw', () => {
  const many = answer(compared.many);
  const [gins, pears] = many.swaps;
  if (!gins || !pears) throw new Error('no swaps');
  const effects = Array.from({ length: 50 }, (_, i) => ({ ...gins.effects[0], candidate: `${i}`, ingredient: `${i}` }));
  const huge = { ...many, swaps: [{ ...gins, effects }, pears] } as typeof many;
  expect(pictureOf(huge, firstView(huge.swaps), [], '')).toBeNull();
  expect(sharpness({ width: 640, height: 400 })).toBe(2);
  const by = sharpness({ width: 6000, height: 4000 });
  expect(by * by * 6000 * 4000).toBeLessThanOrEqual(14_000_001);
});

it('breaks text at spaces, cuts what is longer than a line, and ends in dots what is longer than all', () => {
  expect(wrapped('cask-rested gin of the long wall', 16, 3)).toEqual(['cask-rested gin', 'of the long wall']);
  expect(wrapped('abcdefghij', 4, 3)).toEqual(['abcd', 'efgh', 'ij']);
  expect(wrapped('one two three four', 5, 2)).toEqual(['one', 'two…']);
  expect(wrapped('', 5, 2)).toEqual(['']);
});

it('names a file so that any disk takes it', () => {
  expect(fileName('Which gin / which pear?', '2026-05-15', 'csv')).toBe(
    'fair-measure-which-gin-which-pear-2026-05-15.csv',
  );
  expect(fileName('***', '2026-05-15', 'png')).toBe('fair-measure-2026-05-15.png');
  expect(fileName('Äpfel und Küche', '2026-05-15', 'png')).toBe('fair-measure-äpfel-und-küche-2026-05-15.png');
});
