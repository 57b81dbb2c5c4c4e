import { describe, expect, it } from 'vitest';
import type { SpecView } from '../../../shared/core.ts';
import {
  addLine,
  blank,
  faults,
  type FormLine,
  formOf,
  intentOf,
  moveLine,
  readForm,
  removeLine,
  typeLine,
} from './form.ts';

const lines = (...typed: string[]): FormLine[] => typed.map((text, key) => ({ key, typed: text, id: `N${key}` }));
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
    const kept: FormLine[] = [{ key: 0, typed: 'a', id: 'N0', keep: 'L1' }];
    expect(typeLine(kept, 0, 'b')).toEqual([{ key: 0, typed: 'b', id: 'N0', keep: 'L1' }]);
  });

  it('gives every line that is added an id of its own', () => {
    let all = addLine(lines('a'), 0).lines;
    all = typeLine(all, 0, 'a\nb\nc');
    all = addLine(all, 0).lines;
    all.push(...removeLine(lines('x'), 0), ...blank('S0').lines, ...formOf('riff', view, 'S9').lines);
    expect(new Set(all.map((line) => line.id)).size).toBe(all.length);
    for (const { id } of all.filter(({ id }) => id !== 'N0')) expect(id).toMatch(/^[0-9A-HJKMNP-TV-Z]{26}$/);
  });

  it('moves a line up and down, and says that this one was moved', () => {
    const up = moveLine(lines('a', 'b', 'c'), 2, -1);
    expect(typedOf(up)).toEqual(['a', 'c', 'b']);
    expect(up.map((line) => line.moved)).toEqual([undefined, true, undefined]);
    expect(typedOf(moveLine(lines('a', 'b', 'c'), 0, 1))).toEqual(['b', 'a', 'c']);
    expect(moveLine(lines('a', 'b'), 0, -1)).toEqual(lines('a', 'b'));
    expect(moveLine(lines('a', 'b'), 1, 1)).toEqual(lines('a', 'b'));
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

  it('changes a spec under its own id, and says only what was changed', () => {
    const form = formOf('edit', view, 'S9');
    const [first, second] = form.lines;
    expect(intentOf('edit', form, 'S1', false)).toEqual({
      do: 'spec',
      id: 'S1',
      lines: [
        { id: first?.id, typed: '45 ml gin', keep: 'L1', was: '45 ml gin' },
        { id: second?.id, typed: '¾ oz lemon juice', keep: 'L2', was: '¾ oz lemon juice' },
      ],
    });
    expect(intentOf('edit', { ...form, slip: true, garnish: '', name: ' Drier ' }, 'S1', false)).toMatchObject({
      slip: true,
      garnish: '',
      name: 'Drier',
    });
  });

  it('names the lines that were added, moved and taken away, emptied ones too', () => {
    const form = formOf('edit', view, 'S9');
    form.lines = moveLine(addLine(form.lines, 1).lines, 1, -1);
    form.lines = typeLine(form.lines, 2, '5 ml gentian');
    form.lines = typeLine(form.lines, 0, '');
    const added = form.lines.find((line) => line.typed === '5 ml gentian');
    expect(intentOf('edit', form, 'S1', false)).toEqual({
      do: 'spec',
      id: 'S1',
      lines: [
        { id: form.lines[0]?.id, typed: '¾ oz lemon juice', keep: 'L2', was: '¾ oz lemon juice', moved: true },
        { id: added?.id, typed: '5 ml gentian' },
        { typed: '45 ml gin', keep: 'L1', was: '45 ml gin', gone: true },
      ],
    });
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
    const edited = formOf('edit', view, 'S9');
    expect(readForm(JSON.parse(JSON.stringify(edited)))).toEqual(edited);
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

  it('comes back from the disk of an older version with ids, and with what stands there now', () => {
    const { was, ...form } = formOf('edit', view, 'S9');
    const kept = { ...form, lines: form.lines.map(({ key, typed, keep }) => ({ key, typed, keep })) };
    const read = readForm(JSON.parse(JSON.stringify(kept)), was);
    expect(read?.was).toEqual(was);
    expect(read?.lines.map((line) => line.typed)).toEqual(['45 ml gin', '¾ oz lemon juice']);
    for (const { id } of read?.lines ?? []) expect(id).toMatch(/^[0-9A-HJKMNP-TV-Z]{26}$/);
  });
});
