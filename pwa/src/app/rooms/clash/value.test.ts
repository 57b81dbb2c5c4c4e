import { expect, it, vi } from 'vitest';
import type { Clash } from '../../../shared/core.ts';
import { later } from '../../words.ts';
import { effectsOf } from './effects.ts';
import { valueText } from './value.ts';

vi.stubGlobal('navigator', { language: 'en-GB' });

it('sets a score in halves and leaves other texts as the core says them', () => {
  expect([
    valueText('score_x10', '7.5'),
    valueText('score_x10', '8'),
    valueText('note', '7.5'),
    valueText('made', '20 ml lemon'),
  ]).toEqual(['7½', '8', '7.5', '20 ml lemon']);
});

it('puts what a comparison holds into words', () => {
  expect([
    valueText('sight', 'blind'),
    valueText('from_ms', '7.5, 2026-05-15 21:04, drunk'),
    valueText('started_at_ms', '2026-05-15 22:05'),
    valueText('sort', 'gin + pear > rum + pear, 2026-05-15 22:04'),
    valueText('sort', 'gin + pear / rum + pear: found, 2026-05-15 22:04'),
    valueText('uncovered', '417 283'),
  ]).toEqual([
    later.planning.sights.blind,
    '7.5, 15 May 2026 21:04, drunk then',
    '15 May 2026 22:05',
    'gin + pear > rum + pear, 15 May 2026 22:04',
    'gin + pear / rum + pear: the odd one was found, 15 May 2026 22:04',
    '417 283',
  ]);
});

const clash = (...effects: Clash['values'][number]['effect'][]): Clash => ({
  id: 'L1',
  kind: 'line',
  field: 'typed',
  title: 'Orchard Sour, lemon',
  joinable: false,
  values: effects.map((effect, i) => ({ stamp: `r.${i}`, text: `${i}`, device: '', at_ms: 0, shown: i === 0, effect })),
});

it('says what each value would make of the glass, and that the alcohol is the same when it is', () => {
  const plain = (text: string) => text.replaceAll('\u00a0', ' ');
  const said = effectsOf(clash({ acid_percent: 0.83, alcohol_g: 21 }, { acid_percent: 0.76, alcohol_g: 21 }));
  expect(plain(said.acid)).toBe('0.83 % with the first, 0.76 % with the second');
  expect(said).toMatchObject({ alcohol: '', same: 21 });
  expect(effectsOf(clash({ alcohol_g: 10 }, { alcohol_g: 12.5 })).alcohol).toBe(
    '10 g with the first, 12.5 g with the second',
  );
});

it('says nothing where the core knows nothing', () => {
  expect(effectsOf(clash({}, {}))).toEqual({ acid: '', alcohol: '', same: null });
  expect(effectsOf(clash({ acid_percent: 0.8 }, {}))).toMatchObject({ acid: '' });
});
