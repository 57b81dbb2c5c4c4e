import { describe, expect, it } from 'vitest';
import type { Alcohol, ComparisonAnswer, Finding, PlanAnswer } from '../../../shared/core.ts';
import {
  alike,
  asked,
  called,
  overAlready,
  replaced,
  seatsOf,
  sizeOf,
  stepped,
  whyOf,
  withOut,
  withOwn,
} from './planned.ts';

const drinks = (n: number): Alcohol => ({ grams: n * 10, drinks: n, at_least: false, or_drinks: null, about: false });
const seat = (
  picks: string,
  why: PlanAnswer['seats'][number]['why'],
  gain: number | null = null,
  names: string[] = [picks, 'clear pear'],
): PlanAnswer['seats'][number] => ({ picks, names, why, gain, alcohol: drinks(0.4) });
const plan: PlanAnswer = {
  seats: [seat('a', 'benchmark'), seat('b', 'leader'), seat('c', 'new'), seat('d', 'promise', 0.31)],
  flight: drinks(1.6),
  today: drinks(0.5),
  session: drinks(0.5),
  limit_drinks: 2,
  limit_from: 'usual',
  fits: false,
  unknown: [],
  unit: { country: 'AU', name: 'standard drink', grams: 10, fallback: false },
  heavy: false,
  quiet: false,
};

describe('a plan that is changed by hand', () => {
  it('keeps the reasons of what stays and calls the rest one’s own', () => {
    const changed = withOwn(withOut(replaced(plan.seats, 'c', 'x'), 'b'), 'y');
    expect(changed).toEqual([
      { picks: 'a', why: 'benchmark', gain: null },
      { picks: 'x', why: 'own', gain: null },
      { picks: 'd', why: 'promise', gain: 0.31 },
      { picks: 'y', why: 'own', gain: null },
    ]);
    const findings = ['x', 'y'].map((picks) => ({ picks, names: [picks, 'cask pear'] }) as Finding);
    expect(seatsOf(plan, changed, findings).map(({ names, why, gain }) => [names[0], why, gain])).toEqual([
      ['a', 'benchmark', null],
      ['x', 'own', null],
      ['d', 'promise', 0.31],
      ['y', 'own', null],
    ]);
    expect(seatsOf(plan, null, findings)).toBe(plan.seats);
  });

  it('is the same flight in another order', () => {
    expect(alike(plan.seats, [...plan.seats].reverse())).toBe(true);
    expect(alike(plan.seats, withOut(plan.seats, 'b'))).toBe(false);
    expect(alike(plan.seats, replaced(plan.seats, 'b', 'x'))).toBe(false);
  });
});

describe('why a glass is in it', () => {
  const effect = (name: string, tasted: number) =>
    ({ name, tasted }) as ComparisonAnswer['swaps'][number]['effects'][number];
  const swaps = [
    { effects: [effect('juniper', 2), effect('coastal', 0)] },
    { effects: [effect('clear pear', 2), effect('cask pear', 0)] },
    { effects: [effect('', 0)] },
  ] as ComparisonAnswer['swaps'];

  it('names what was never tasted', () => {
    expect(whyOf(seat('c', 'new', 1.2, ['coastal', 'clear pear', '']), swaps)).toMatch(/^coastal was never tasted/);
    expect(whyOf(seat('c', 'new', 1.2, ['coastal', 'cask pear', '']), swaps)).toMatch(/^coastal and cask pear were/);
    expect(whyOf(seat('c', 'new', 1.2, ['juniper', 'clear pear', '']), swaps)).toMatch(/^Never tasted/);
  });

  it('says what it promises, unless that is nothing', () => {
    expect(whyOf(seat('d', 'promise', 0.31), swaps)).toContain('0.3 points');
    expect(whyOf(seat('d', 'promise', 0), swaps)).not.toContain('points');
    expect(whyOf(seat('b', 'leader', 0.4), swaps)).not.toContain('points');
  });

  it('leaves nothing added unsaid', () => {
    expect(called(['coastal', 'clear pear', ''])).toBe('coastal + clear pear');
    expect(called([''])).toBe('nothing added');
  });
});

describe('the size of a glass', () => {
  it('is typed with a comma or a point, from 5 to 60 ml', () => {
    expect(['20', ' 12,5 ', '5', '60'].map(sizeOf)).toEqual([20_000, 12_500, 5_000, 60_000]);
    expect(['', '4.9', '60.5', 'twenty', '-5'].map(sizeOf)).toEqual([null, null, null, null, null]);
  });

  it('steps to whole fives and stays within them', () => {
    expect([stepped('20', 1), stepped('12,5', 1), stepped('12.5', -1), stepped('x', 1)]).toEqual([
      '25',
      '15',
      '10',
      '25',
    ]);
    expect([stepped('60', 1), stepped('5', -1), stepped('900', -1)]).toEqual(['60', '5', '60']);
  });
});

describe('what lay on the disk', () => {
  const whole = { glasses: 4, size: '20', sight: 'half', seed: '17', seats: null };
  it('is what was asked for, or nothing', () => {
    expect(asked(whole)).toEqual(whole);
    expect(asked({ ...whole, seats: withOut(plan.seats, 'b') })).not.toBeNull();
    for (const bad of [{ glasses: 7 }, { seed: 'x' }, { sight: 'dim' }, { seats: [{}] }, { size: 20 }])
      expect(asked({ ...whole, ...bad })).toBeNull();
    expect(asked(null)).toBeNull();
  });
});

it('tells when what was drunk is at the limit already, by the day or the session, the larger of two values', () => {
  expect(overAlready(plan)).toBe(false);
  expect(overAlready({ ...plan, today: drinks(2) })).toBe(true);
  expect(overAlready({ ...plan, session: drinks(2.5) })).toBe(true);
  expect(overAlready({ ...plan, today: { ...drinks(1), or_drinks: 2 } })).toBe(true);
});
