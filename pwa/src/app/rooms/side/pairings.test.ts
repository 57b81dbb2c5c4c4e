import { expect, it } from 'vitest';
import { comparisonOf, compared } from '../../../../look/comparing.ts';
import { cut, firstView, gridOf, pickOf, turned } from './pairings.ts';

const answer = (id: string) => comparisonOf(id, { key: 'AU', grams: 10 } as never);

it('lays nothing out with one swap', () => {
  const one = answer(compared.one);
  expect(gridOf(one, firstView(one.swaps))).toBeNull();
});

it('lays two swaps out, the longer one down, every finding in its place', () => {
  const two = answer(compared.many);
  const grid = gridOf(two, firstView(two.swaps));
  expect([grid?.rows.length, grid?.columns.length]).toEqual([8, 6]);
  for (const { of, cells } of grid?.rows ?? [])
    cells.forEach((cell, i) => expect(cell?.names).toEqual([of.name, grid?.columns[i]?.name]));
  const turnedOver = gridOf(two, turned(firstView(two.swaps), 'down', 1));
  expect([turnedOver?.rows.length, turnedOver?.columns.length]).toEqual([6, 8]);
  expect(turnedOver?.rows[2]?.cells[3]).toBe(grid?.rows[3]?.cells[2]);
});

it('holds what goes neither down nor across at the benchmark’s own, nothing added among it', () => {
  const three = answer(compared.three);
  const view = firstView(three.swaps);
  expect([view.down, view.across]).toEqual([0, 2]);
  const grid = gridOf(three, view);
  expect(grid?.rows.flatMap(({ cells }) => cells.map((it) => it?.names[1]))).toEqual(Array(12).fill('clear pear'));
  expect(grid?.rows[0]?.cells[0]?.benchmark).toBe(true);
  expect(grid?.rows[1]?.cells[2]?.names).toEqual(['soft floral gin', 'clear pear', '2 dashes orange bitters']);
});

it('holds another where it is chosen', () => {
  const four = answer(compared.four);
  const [, , lemons] = four.swaps;
  const other = lemons?.effects[1];
  if (!lemons || !other) throw new Error('no verjus');
  const view = turned(firstView(four.swaps), 'across', 3);
  const fixed = view.fixed.map((it, i) => (i === 2 ? pickOf(lemons, other) : it));
  const grid = gridOf(four, { ...view, fixed });
  expect(grid?.across.addition).toBe(true);
  expect(grid?.rows[2]?.cells[1]?.names).toEqual(['citrus-led gin', 'clear pear', 'verjus', '5 ml gentian bitter']);
});

it('turns the table over where the same swap is asked for twice', () => {
  const view = firstView(answer(compared.three).swaps);
  expect(turned(view, 'across', 0)).toMatchObject({ down: 2, across: 0 });
  expect(turned(view, 'down', 1)).toMatchObject({ down: 1, across: 2 });
});

it('leaves open what was not looked at', () => {
  const two = answer(compared.twelve);
  const grid = gridOf({ ...two, findings: two.findings.slice(1) }, firstView(two.swaps));
  expect(grid?.rows.flatMap(({ cells }) => cells).filter((it) => it === undefined)).toHaveLength(1);
});

it('cuts a large grid to its first rows and columns, each cell with them', () => {
  const many = answer(compared.many);
  const grid = gridOf(many, firstView(many.swaps));
  if (!grid) throw new Error('no grid');
  const less = cut(grid, 3);
  expect([less.rows.length, less.columns.length, less.rows[2]?.cells.length]).toEqual([3, 3, 3]);
  expect(less.rows[2]?.cells[1]).toBe(grid.rows[2]?.cells[1]);
  expect(cut(grid, 12)).toEqual(grid);
});
