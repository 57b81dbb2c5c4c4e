import { describe, expect, it } from 'vitest';
import type { SpecView } from '../../../shared/core.ts';
import { addLine, blank, faults, type FormLine, formOf, intentOf, readForm, removeLine, typeLine } from './form.ts';
import { rewrites, strengthIn } from './rewrite.ts';

const lines = (...typed: string[]): FormLine[] => typed.map((text, key) => ({ key, typed: text }));
const typedOf = (all: readonly FormLine[]) => all.map((line) => line.typed);

const view = {
  id: 'S1',
  drink: 'D1',
  drink_name: 'Orchard Sour',
  name: 'Less honey',
  parent: null,
  method: 'shaken',
  ice: 'cubes',
  glass: 'coupe',
  garnish: 'bay leaf',
  note: 'dry',
  part_ul: null,
  total_ul: 90_000,
  lines: [
    { id: 'L1', typed: '45 ml gin' },
    { id: 'L2', typed: '¾ oz lemon juice' },
  ],
} as unknown as SpecView;

describe('lines', () => {
  it('begins a line right after the one where Enter was pressed, with a key of its own', () => {
    const { lines: after, key } = addLine(lines('a', 'b'), 0);
    expect(typedOf(after)).toEqual(['a', '', 'b']);
    expect(new Set(after.map((line) => line.key)).size).toBe(3);
    expect(after[1]?.key).toBe(key);
  });

  it('takes a line away, and leaves one to type in', () => {
    expect(typedOf(removeLine(lines('a', 'b'), 0))).toEqual(['b']);
    expect(typedOf(removeLine(lines('a'), 0))).toEqual(['']);
  });

  it('makes pasted rows lines, and drops the empty ones', () => {
    const after = typeLine(lines('a', 'b'), 0, '45 ml gin\r\n\r\n¾ oz lemon\n2 dashes bitters');
    expect(typedOf(after)).toEqual(['45 ml gin', '¾ oz lemon', '2 dashes bitters', 'b']);
    expect(new Set(after.map((line) => line.key)).size).toBe(4);
  });

  it('keeps what a line was while it is retyped', () => {
    const kept: FormLine[] = [{ key: 0, typed: 'a', keep: 'L1' }];
    expect(typeLine(kept, 0, 'b')).toEqual([{ key: 0, typed: 'b', keep: 'L1' }]);
  });
});

describe('a form', () => {
  it('asks for a line before anything is sent', () => {
    expect(faults(blank('S0'), false)).toEqual({ lines: true });
    expect(faults({ ...blank('S0'), lines: lines('45 ml gin') }, false)).toEqual({});
  });

  it('takes a size of parts only with lines in parts, and only above nought', () => {
    const form = { ...blank('S0'), lines: lines('1 part gin'), total: 'much' };
    expect(faults(form, true)).toEqual({ total: true });
    expect(faults(form, false)).toEqual({});
    expect(faults({ ...form, total: '0' }, true)).toEqual({ total: true });
    expect(intentOf('new', { ...form, total: '90' }, null, true)).toMatchObject({ total_ul: 90_000 });
    expect(intentOf('new', { ...form, total: '90' }, null, false)).not.toHaveProperty('total_ul');
  });

  it('becomes a new spec under the drink that was named', () => {
    const form = { ...blank('S0'), drink: ' Orchard Sour ', name: 'first', lines: lines(' 45 ml gin ', '', 'lemon') };
    const intent = intentOf('new', form, null, false);
    expect(intent).toMatchObject({
      do: 'spec',
      id: 'S0',
      drink_name: 'Orchard Sour',
      name: 'first',
      lines: [{ typed: '45 ml gin' }, { typed: 'lemon' }],
    });
    expect(intent).not.toHaveProperty('parent');
  });

  it('rewrites a spec under its own id, keeping its lines, and says slip only when ticked', () => {
    const form = formOf('edit', view, 'S9');
    const intent = intentOf('edit', form, 'S1', false);
    expect(intent).toMatchObject({
      id: 'S1',
      name: 'Less honey',
      note: 'dry',
      lines: [
        { typed: '45 ml gin', keep: 'L1' },
        { typed: '¾ oz lemon juice', keep: 'L2' },
      ],
    });
    expect(intent).not.toHaveProperty('slip');
    expect(intent).not.toHaveProperty('parent');
    expect(intentOf('edit', { ...form, slip: true }, 'S1', false)).toMatchObject({ slip: true });
  });

  it('starts a riff as a copy of the lines under a new id and without the parent’s name and note', () => {
    const intent = intentOf('riff', formOf('riff', view, 'S9'), 'S1', false);
    expect(intent).toMatchObject({
      id: 'S9',
      parent: 'S1',
      name: '',
      note: '',
      method: 'shaken',
      garnish: 'bay leaf',
      drink_name: 'Orchard Sour',
    });
  });

  it('comes back from the disk as it was, and not from anything else', () => {
    const form = { ...blank('S0'), lines: lines('45 ml gin') };
    expect(readForm(JSON.parse(JSON.stringify(form)))).toEqual(form);
    for (const bad of [
      null,
      'text',
      {},
      { ...form, lines: [] },
      { ...form, lines: [{ typed: 1 }] },
      { ...form, name: 3 },
    ])
      expect(readForm(bad)).toBeNull();
  });
});

describe('a number that may be a percentage or a proof', () => {
  it.each([
    ['60 ml rum, 151', ['60 ml rum, 151 %', '60 ml rum, 151 proof', '60 ml rum, 151 uk proof']],
    ['60 ml rum, 151 %', ['60 ml rum, 151 %', '60 ml rum, 151 proof', '60 ml rum, 151 uk proof']],
    ['60 ml rum 101', ['60 ml rum, 101 %', '60 ml rum, 101 proof', '60 ml rum, 101 uk proof']],
    ['45 ml gin, 44', ['45 ml gin, 44 %', '45 ml gin, 44 proof', '45 ml gin, 44 uk proof']],
    ['60 ml rum, 70° proof', ['60 ml rum, 70 %', '60 ml rum, 70 proof', '60 ml rum, 70 uk proof']],
    ['2 oz 100 proof rye', ['2 oz 100 % rye', '2 oz 100 proof rye', '2 oz 100 uk proof rye']],
    ['45 ml gin 57,5 % vol', ['45 ml gin, 57,5 %', '45 ml gin, 57,5 proof', '45 ml gin, 57,5 uk proof']],
  ])('%s', (typed, ways) => {
    expect(rewrites(typed)).toEqual(ways);
  });

  it('leaves an amount alone', () => {
    expect(rewrites('45')).toEqual([]);
    expect(rewrites('gin')).toEqual([]);
  });

  it('tells the ways apart by their strength', () => {
    expect(rewrites('60 ml rum, 151').map(strengthIn)).toEqual(['151 %', '151 proof', '151 uk proof']);
  });
});
