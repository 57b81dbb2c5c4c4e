import { expect, it } from 'vitest';
import { pathOf } from './qr.tsx';

it('draws each run of black modules once', () => {
  expect(
    pathOf([
      [true, true, false],
      [false, false, false],
      [false, true, true],
    ]),
  ).toBe('M0 0h2v1h-2zM1 2h2v1h-2z');
  expect(pathOf([])).toBe('');
});
