import { describe, expect, it } from 'vitest';
import { blank, compareOf, kept, namesOf, pairingsIn, pairingsOf, ticked } from './read.ts';

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

  it('as pairings go into their columns; what does not fit is told', () => {
    expect(pairingsOf('coastal gin + clear pear\ncoastal gin + cask pear\nonly one\na + b + c', 2)).toEqual({
      columns: [['coastal gin'], ['clear pear', 'cask pear']],
      bad: ['only one', 'a + b + c'],
    });
  });
});

describe('a form to begin comparing', () => {
  const form = {
    ...blank('spec'),
    lines: ['l1', 'l2'],
    names: { l1: 'coastal gin\ncitrus-led gin', gone: 'not asked for' },
    shelf: { l1: ['i1'] },
    pairings: 'Coastal gin + clear pear',
  };

  it('becomes one intent', () => {
    expect(compareOf(form, { id: 'd', name: 'Orchard Sour', base: 'spec', lines: [] }, 'id')).toEqual({
      do: 'compare',
      id: 'id',
      base: 'spec',
      lines: ['l1', 'l2'],
      candidates: [
        { line: 'l1', ingredient: 'i1' },
        { line: 'l1', name: 'coastal gin' },
        { line: 'l1', name: 'citrus-led gin' },
        { line: 'l2', name: 'clear pear' },
      ],
    });
  });

  it('counts the glasses with the benchmark’s own', () => {
    expect(pairingsIn(form)).toBe(4 * 2);
  });

  it('is read back from the disk, or not at all', () => {
    expect(kept(JSON.parse(JSON.stringify(form)))).toEqual(form);
    expect(kept({ base: 'x' })).toBeNull();
    expect(kept(null)).toBeNull();
  });

  it('keeps ticked lines in the order of the spec', () => {
    expect(ticked(['c'], ['a', 'b', 'c'], 'a')).toEqual(['a', 'c']);
    expect(ticked(['a', 'c'], ['a', 'b', 'c'], 'a')).toEqual(['c']);
  });
});
