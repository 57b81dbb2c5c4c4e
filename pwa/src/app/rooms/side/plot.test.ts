import { expect, it } from 'vitest';
import { comparisonOf, compared } from '../../../../look/comparing.ts';
import { box, plotOf, priced, unpriced } from './plot.ts';

const findings = comparisonOf(compared.many, { key: 'AU', grams: 10 } as never).findings;

it('numbers what is tasted and has a price by its price', () => {
  const all = priced(findings);
  expect(all.every(({ tasted, price_minor }) => tasted > 0 && price_minor !== null)).toBe(true);
  const prices = all.map(({ price_minor }) => price_minor ?? 0);
  expect(prices).toEqual([...prices].sort((a, b) => a - b));
  expect(all.length + unpriced(findings).length).toBe(findings.filter(({ tasted }) => tasted > 0).length);
  expect(plotOf(findings)?.dots.map(({ no }) => no)).toEqual(all.map((_, i) => i + 1));
});

it('stands the dearer further right and the better higher, all within the drawing', () => {
  const dots = plotOf(findings)?.dots ?? [];
  expect(dots.length).toBeGreaterThan(20);
  for (const a of dots) {
    expect(a.x).toBeGreaterThanOrEqual(box.left);
    expect(a.x).toBeLessThanOrEqual(box.right);
    expect(a.y).toBeGreaterThanOrEqual(box.top);
    expect(a.y).toBeLessThanOrEqual(box.bottom);
    for (const b of dots) {
      if ((a.finding.price_minor ?? 0) < (b.finding.price_minor ?? 0)) expect(a.x).toBeLessThan(b.x);
      if ((a.finding.d ?? 0) < (b.finding.d ?? 0)) expect(a.y).toBeGreaterThan(b.y);
    }
  }
});

it('draws the front through those the core puts on it, and no others', () => {
  const plot = plotOf(findings);
  const on = plot?.dots.filter(({ finding }) => finding.on_front) ?? [];
  expect(plot?.front.match(/[\d.]+/g)?.map(Number)).toEqual(on.flatMap(({ x, y }) => [x, y]));
});

it('keeps to the currency that most is priced in, and lists the others', () => {
  const [a, b, c] = priced(findings);
  if (!a || !b || !c) throw new Error('too few');
  const mixed = [a, { ...b, currency: 'NZD' }, c];
  expect(priced(mixed)).toEqual([a, c]);
  expect(unpriced(mixed).map(({ currency }) => currency)).toEqual(['NZD']);
});

it('needs two to set against each other', () => {
  expect(plotOf([])).toBeNull();
  expect(plotOf(priced(findings).slice(0, 1))).toBeNull();
});

it('spreads equal prices and equal points without dividing by nothing', () => {
  const [a] = priced(findings);
  if (!a) throw new Error('none');
  const plot = plotOf([a, { ...a, picks: 'other' }]);
  for (const { x, y, label } of plot?.dots ?? []) expect([x, y, label.x, label.y].every(Number.isFinite)).toBe(true);
});
