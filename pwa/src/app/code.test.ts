import { expect, it } from 'vitest';
import { isWhole, tidyCode } from './code.ts';

it('sets a code in groups of four capitals, however it was typed', () => {
  expect(tidyCode('abcdefghjkmn')).toBe('ABCD-EFGH-JKMN');
  expect(tidyCode(' abcd efgh_jkmn ')).toBe('ABCD-EFGH-JKMN');
  expect(tidyCode('ABCD-EFGH-JKMN')).toBe('ABCD-EFGH-JKMN');
});

it('reads what is easily misread as Crockford’s alphabet has it', () => {
  expect(tidyCode('oOiIlL0011zz')).toBe('0011-1100-11ZZ');
});

it('grows with typing, holds twelve at most, and knows a whole one', () => {
  expect(tidyCode('abcd')).toBe('ABCD');
  expect(tidyCode('abcde')).toBe('ABCD-E');
  expect(tidyCode('ABCD-EFGH-JKMNPQ')).toBe('ABCD-EFGH-JKMN');
  expect([isWhole('ABCD-EFGH-JKMN'), isWhole('ABCD-EFGH-JKM')]).toEqual([true, false]);
});
