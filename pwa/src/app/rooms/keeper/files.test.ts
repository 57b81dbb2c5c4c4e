import { expect, it } from 'vitest';
import { RefusedError } from '../../core-client.ts';
import { later } from '../../words.ts';
import { fileName, sizeOf, whyOf } from './files.ts';

it('names the file by the day of the person', () => {
  expect(fileName(new Date(2026, 10, 25, 0, 30), 0)).toBe('fair-measure-2026-11-25.json');
  expect(fileName(new Date(2026, 0, 5, 23, 59), 2)).toBe('fair-measure-2026-01-05-apart-2.json');
});

it('says a size that is never too small', () => {
  expect(sizeOf(1)).toBe('1 kB');
  expect(sizeOf(33_001)).toBe('34 kB');
  expect(sizeOf(1_210_000)).toBe('1.3 MB');
});

it('says why a file was not taken, in our words or else the core’s', () => {
  const refused = (code: string) => whyOf(new RefusedError({ code, field: 'file', text: 'as the core says' }));
  expect(refused('not_an_export')).toBe(later.bringingFile.refused.not_an_export);
  expect(refused('file_too_large')).toMatch(/128 MB/);
  expect(refused('other')).toBe('as the core says');
  expect(whyOf(new Error('the worker ended'))).toBe(later.bringingFile.failed);
});
