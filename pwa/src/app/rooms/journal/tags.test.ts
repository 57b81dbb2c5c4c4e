import { expect, it } from 'vitest';
import { tagChanges } from './tags.ts';

it('sets what was added, clears what was taken away, and leaves the rest', () => {
  expect(tagChanges(['pear', 'dry'], ['pear', 'too sweet'])).toEqual({ 'tag.too_sweet': true, 'tag.dry': null });
  expect(tagChanges(['pear'], ['pear'])).toEqual({});
});
