import { expect, it } from 'vitest';
import type { Intent } from '../../shared/core.ts';
import { inOrder, joined } from './taken-back.ts';

const away = (id: string, ...also: string[]): Intent => ({ do: 'delete', id, ...(also.length > 0 ? { also } : {}) });
const set = (value: string): Intent => ({ do: 'set', name: 'country', value });

it('what goes back the same way is taken back together, anything else by itself', () => {
  expect(joined([], away('A'))).toEqual([away('A')]);
  expect(joined([away('A')], away('B'))).toEqual([away('A'), away('B')]);
  expect(joined([away('A'), away('B')], set('AU'))).toEqual([set('AU')]);
  expect(joined([set('AU')], { do: 'restore', id: 'C' })).toEqual([{ do: 'restore', id: 'C' }]);
});

it('deletions and restorations are one act, with each id once', () => {
  expect(inOrder([away('A')])).toEqual([away('A')]);
  expect(inOrder([away('A'), away('B', 'C'), away('D')])).toEqual([away('D', 'B', 'C', 'A')]);
  expect(
    inOrder([
      { do: 'restore', id: 'A' },
      { do: 'restore', id: 'B' },
    ]),
  ).toEqual([{ do: 'restore', id: 'B', also: ['A'] }]);
});

it('a value changed twice goes back over the one between, so the last to the first', () => {
  expect(inOrder([set('first'), set('second')])).toEqual([set('second'), set('first')]);
});
