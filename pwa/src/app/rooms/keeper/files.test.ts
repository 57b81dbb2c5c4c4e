import { expect, it } from 'vitest';
import { fileName, sizeOf } from './files.ts';

it('names the file by the day of the person', () => {
  expect(fileName(new Date(2026, 10, 25, 0, 30), 0)).toBe('fair-measure-2026-11-25.json');
  expect(fileName(new Date(2026, 0, 5, 23, 59), 2)).toBe('fair-measure-2026-01-05-apart-2.json');
});

it('says a size that is never too small', () => {
  expect(sizeOf(1)).toBe('1 kB');
  expect(sizeOf(33_001)).toBe('34 kB');
  expect(sizeOf(1_210_000)).toBe('1.3 MB');
});
