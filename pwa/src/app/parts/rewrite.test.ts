import { describe, expect, it } from 'vitest';
import { rewrites, strengthIn } from './rewrite.ts';

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
