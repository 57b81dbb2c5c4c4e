import { describe, expect, it } from 'vitest';
import type { ComparisonAnswer } from '../../../shared/core.ts';
import {
  addingOf,
  blank,
  compareOf,
  countsIn,
  faultsOf,
  kept,
  namesOf,
  pairingFault,
  pairingsOf,
  placesIn,
  product,
  ticked,
} from './read.ts';

describe('names that were pasted', () => {
  it('are read one a line, without bullets, each once', () => {
    expect(namesOf('- coastal gin\r\n2. Cask-rested gin\n\n  COASTAL   gin \n• old-style sweet gin')).toEqual([
      'coastal gin',
      'Cask-rested gin',
      'old-style sweet gin',
    ]);
  });

  it('keep a figure that is part of the name', () => {
    expect(namesOf('47 north gin\n1.5 litre gin')).toEqual(['47 north gin', '1.5 litre gin']);
  });

  it('as pairings go into their columns; what does not fit is told with its line', () => {
    expect(pairingsOf('coastal gin + clear pear\n\ncoastal gin + cask pear\nonly one\na + b + c\n + d', 2)).toEqual({
      columns: [['coastal gin'], ['clear pear', 'cask pear']],
      bad: [
        { no: 4, text: 'only one', parts: 1 },
        { no: 5, text: 'a + b + c', parts: 3 },
        { no: 6, text: '+ d', parts: 1 },
      ],
    });
  });

  it('keep a plus sign inside a name', () => {
    expect(pairingsOf('gin 47+ + pear', 2).columns).toEqual([['gin 47+'], ['pear']]);
  });

  it('with a wrong row say which, and what was expected', () => {
    expect(pairingFault('a + b\na + b + c', ['gin', 'pear'])).toMatch(/^Line 2: .*“a \+ b \+ c” has 3.*gin \+ pear/);
    expect(pairingFault('a + b', ['gin', 'pear'])).toBe('');
  });
});

const drink = {
  id: 'd',
  name: 'Orchard Sour',
  base: 'spec',
  lines: [
    { line: 'l1', text: '37.5 ml juniper-heavy gin', name: 'juniper-heavy gin' },
    { line: 'l2', text: '15 ml clear pear', name: 'clear pear' },
    { line: 'l3', text: '22.5 ml lemon juice', name: 'lemon juice' },
  ],
};

describe('a form to begin comparing', () => {
  const form = {
    ...blank('spec'),
    lines: ['l1', 'l2'],
    names: { l1: 'coastal gin\ncitrus-led gin\nJuniper-Heavy Gin\nsoft floral gin', gone: 'not asked for' },
    shelf: { l1: ['i1'] },
    pairings: 'Coastal gin + cask pear\ncoastal gin + CLEAR pear',
    anchor_x10: 70,
  };
  const called = new Map([['i1', 'soft floral gin']]);
  const places = placesIn(form, drink);

  it('becomes one intent: none twice, and none that is the benchmark’s own', () => {
    expect(compareOf(form, drink, 'id', called)).toEqual({
      do: 'compare',
      id: 'id',
      base: 'spec',
      lines: ['l1', 'l2'],
      candidates: [
        { line: 'l1', ingredient: 'i1' },
        { line: 'l1', name: 'coastal gin' },
        { line: 'l1', name: 'citrus-led gin' },
        { line: 'l2', name: 'cask pear' },
      ],
    });
  });

  it('counts by line, the benchmark’s own and nothing added among them', () => {
    expect(countsIn(form, places, called)).toEqual([4, 2]);
    const more = { ...form, touching: true, touches: '5 ml gentian bitter\n2 dashes orange bitters' };
    expect(countsIn(more, places, called)).toEqual([4, 2, 3]);
    expect(product([4, 2, 3])).toBe(24);
    expect(compareOf(more, drink, 'id', called)).toMatchObject({
      touches: ['5 ml gentian bitter', '2 dashes orange bitters'],
    });
  });

  it('leaves out what may be put to it when that is not ticked', () => {
    expect(compareOf({ ...form, touches: '5 ml gentian bitter' }, drink, 'id')).not.toHaveProperty('touches');
  });

  it('takes a name with its strength and without for one thing, and two strengths for two', () => {
    const twice = {
      ...blank('spec'),
      lines: ['l1'],
      names: { l1: 'windfall gin\nwindfall gin, 44 %\nGarden gin 40,5 % vol\ngarden gin (57%)\ngarden gin' },
    };
    expect(compareOf(twice, drink, 'id')).toMatchObject({
      candidates: [
        { line: 'l1', name: 'windfall gin, 44 %' },
        { line: 'l1', name: 'Garden gin 40,5 % vol' },
        { line: 'l1', name: 'garden gin (57%)' },
      ],
    });
  });

  it('puts one ingredient into two lines, each with the other’s', () => {
    const both = { ...blank('spec'), lines: ['l1', 'l2'], names: { l1: 'clear pear', l2: 'juniper-heavy gin' } };
    expect(compareOf(both, drink, 'id')).toMatchObject({
      candidates: [
        { line: 'l1', name: 'clear pear' },
        { line: 'l2', name: 'juniper-heavy gin' },
      ],
    });
  });

  it('is refused beside what is wrong with it', () => {
    const none = new Map<string, string>();
    expect(faultsOf(form, drink, called)).toEqual({});
    expect(Object.keys(faultsOf(blank('spec'), drink, none))).toEqual(['lines']);
    expect(faultsOf({ ...blank('spec'), lines: ['l1'] }, drink, none).candidates).toContain('juniper-heavy gin');
    expect(Object.keys(faultsOf({ ...blank('spec'), touching: true, touches: ' \n' }, drink, none))).toEqual([
      'touches',
    ]);
    expect(Object.keys(faultsOf({ ...form, pairings: 'one alone' }, drink, none))).toEqual(['pairings']);
    const names = (n: number) => Array.from({ length: n }, (_, i) => `no. ${i} of them`).join('\n');
    expect(faultsOf({ ...blank('spec'), lines: ['l1'], names: { l1: names(61) } }, drink, none).candidates).toContain(
      '61',
    );
    const wide = { ...form, pairings: '', shelf: {}, lines: ['l1', 'l2', 'l3'] };
    expect(
      faultsOf({ ...wide, names: { l1: names(19), l2: names(19), l3: names(19) } }, drink, none).candidates,
    ).toContain('8');
    expect(faultsOf({ ...wide, names: { l1: names(12), l2: names(12), l3: names(12) } }, drink, none)).toEqual({});
  });

  it('is read back from the disk, or not at all; what an older one lacks is empty', () => {
    expect(kept(JSON.parse(JSON.stringify(form)))).toEqual(form);
    const { base, lines, names, shelf, pairings, name } = form;
    expect(kept({ base, lines, names, shelf, pairings, name })).toEqual({ ...form, anchor_x10: null });
    expect(kept({ base: 3 })).toBeNull();
    expect(kept({ ...form, names: { l1: 4 } })).toBeNull();
    expect(kept(null)).toBeNull();
  });

  it('keeps ticked lines in the order of the spec', () => {
    expect(ticked(['c'], ['a', 'b', 'c'], 'a')).toEqual(['a', 'c']);
    expect(ticked(['a', 'c'], ['a', 'b', 'c'], 'a')).toEqual(['c']);
  });
});

describe('a form to add to a comparison', () => {
  const effect = (name: string, benchmark = false): ComparisonAnswer['swaps'][number]['effects'][number] => ({
    ingredient: name,
    candidate: name,
    name,
    family: '',
    benched: false,
    benchmark,
    d: 0,
    lo: 0,
    hi: 0,
    better_percent: 50,
    tasted: 0,
    terms: [],
    price_minor: null,
    currency: '',
  });
  const swaps: ComparisonAnswer['swaps'] = [
    {
      id: 's1',
      line_name: 'gin',
      amount: '37.5 ml',
      addition: false,
      effects: [effect('juniper-heavy gin', true), effect('coastal gin'), { ...effect('dry gin'), benched: true }],
    },
    { id: 's2', line_name: '', amount: '', addition: true, effects: [effect('', true), effect('5 ml gentian bitter')] },
  ];

  it('becomes one intent each, without what is there and not benched', () => {
    let n = 0;
    const form = {
      ...blank(),
      names: { s1: 'Coastal gin\nsmoky gin\ndry gin' },
      shelf: { s1: ['i9'] },
      touches: '5 ML gentian bitter\n2 dashes orange bitters',
    };
    expect(addingOf(form, swaps, () => `id${++n}`, new Map([['i9', 'citrus-led gin']]))).toEqual([
      { do: 'candidate', id: 'id1', swap: 's1', ingredient: 'i9' },
      { do: 'candidate', id: 'id2', swap: 's1', name: 'smoky gin' },
      { do: 'candidate', id: 'id3', swap: 's1', name: 'dry gin' },
      { do: 'candidate', id: 'id4', swap: 's2', text: '2 dashes orange bitters' },
    ]);
  });
});
