import { describe, expect, it } from 'vitest';
import type { Balance, SpecView } from '../../../shared/core.ts';
import { findIn } from '../../parts/find.ts';
import { amountIn, type Choice, moved, otherOf, riffOf } from './otherwise.ts';

const row = (id: string, benchmark = false) => ({ row: { id, benchmark }, depth: 0 });
const view = {
  id: 'S1',
  drink: 'D1',
  drink_name: 'Orchard Sour',
  name: 'Less honey',
  parent: 'S0',
  method: 'shaken',
  ice: 'cubes',
  glass: 'coupe',
  garnish: 'bay leaf',
  strain: 'fine',
  note: 'dry',
  part_ul: null,
  total_ul: 90_000,
  tree: [row('SB', true), row('S0'), row('S1'), row('S2')],
} as unknown as SpecView;

describe('a riff of a way', () => {
  it('is as its parent but for the lines, without the name and the note of it', () => {
    const lines = [
      { keep: 'L1', typed: '45 ml gin' },
      { typed: '10 ml agave syrup', ingredient: 'I9' },
    ];
    expect(riffOf(view, 'S9', lines)).toEqual({
      do: 'spec',
      id: 'S9',
      parent: 'S1',
      drink: 'D1',
      lines,
      name: '',
      method: 'shaken',
      ice: 'cubes',
      glass: 'coupe',
      garnish: 'bay leaf',
      strain: 'fine',
      total_ul: 90_000,
    });
  });

  it('names no drink for a spec that has none', () => {
    expect(riffOf({ ...view, drink: null, total_ul: null, part_ul: 30_000 }, 'S9', [])).toMatchObject({
      part_ul: 30_000,
    });
    expect(riffOf({ ...view, drink: null }, 'S9', [])).not.toHaveProperty('drink');
  });
});

describe('finding a choice', () => {
  const choices = ['agave syrup', 'Crème de pêche', 'pear syrup, heavy'].map((name) => ({ name })) as Choice[];
  it.each([
    ['', ['agave syrup', 'Crème de pêche', 'pear syrup, heavy']],
    ['creme PECHE', ['Crème de pêche']],
    ['syrup pear', ['pear syrup, heavy']],
    ['rum', []],
  ])('%s', (typed, names) => {
    expect(findIn(choices, typed).map((it) => it.name)).toEqual(names);
  });
});

describe('what a spec is held against first', () => {
  it('is its parent, else the benchmark, else any other', () => {
    expect(otherOf(view)).toBe('S0');
    expect(otherOf({ ...view, parent: null })).toBe('SB');
    expect(otherOf({ ...view, id: 'SB', parent: null })).toBe('S0');
    expect(otherOf({ ...view, tree: view.tree.slice(2, 3) })).toBeNull();
    expect(otherOf({ ...view, tree: [] })).toBeNull();
  });

  it('is not a parent that is no longer there', () => {
    expect(otherOf({ ...view, parent: 'gone' })).toBe('SB');
  });
});

describe('the amount in a row', () => {
  it.each([
    ['15 ml honey syrup', 'honey syrup', '15 ml'],
    ['¾ oz Lemon Juice', 'lemon juice', '¾ oz'],
    ['45 ml gin, 44 %', 'gin', '45 ml gin, 44 %'],
    ['soda', 'soda', 'soda'],
    ['', 'soda', ''],
  ])('%s under %s', (typed, name, want) => {
    expect(amountIn({ name, a: typed, b: '', sort: 'changed' }, 'a')).toBe(want);
  });
});

describe('what moves', () => {
  const glass = (abv: number | null, sugar: number, verdict: 'in' | 'above'): Balance =>
    ({
      after: {
        abv_percent: { v: abv },
        sugar_g_per_100ml: { v: sugar },
        acid_percent: { v: 0.8 },
        volume_ml: { v: 160 },
      },
      verdict: { acid_percent: verdict },
    }) as unknown as Balance;

  it('is what is shown otherwise, what is not known any more, and what leaves its range', () => {
    expect(moved(glass(17, 9, 'in'), glass(17, 9, 'in'))).toEqual([]);
    expect(moved(glass(17, 9, 'in'), glass(null, 9, 'in'))).toEqual(['abv_percent']);
    expect(moved(glass(17, 9, 'in'), glass(17, 9.4, 'above'))).toEqual(['sugar_g_per_100ml', 'acid_percent']);
  });
});
