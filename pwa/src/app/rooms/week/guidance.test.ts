import { later } from '../../words.ts';
import { expect, it } from 'vitest';
import type { Guideline } from '../../../shared/core.ts';
import { asText, cautionOf, dayLines, lineLabel } from './guidance.ts';

const of = (more: Partial<Guideline>): Guideline => ({
  issuer: 'a body',
  year: 2020,
  status: 'current',
  comparator: 'at_most',
  limit: 4,
  unit: 'standard drink',
  period: 'day',
  group: 'adults',
  state: 'below',
  reached: false,
  note: '',
  spread_days: 0,
  ...more,
});

it('says a line of guidance with what it limits and for whom', () => {
  expect(asText(of({}))).toBe('At most 4 standard drinks on any one day');
  expect(asText(of({ limit: 1, group: 'women' }))).toBe('At most 1 standard drink on any one day, for women');
  expect(asText(of({ limit: 20, unit: 'g' }))).toBe('At most 20 g of alcohol on any one day');
  expect(asText(of({ comparator: 'less_than', limit: 11, period: 'week' }))).toBe(
    'Less than 11 standard drinks a week',
  );
});

it('does not turn a pattern of risk, or no number, into advice', () => {
  expect(asText(of({ comparator: 'at_least', status: 'clinical', limit: 10, period: 'week' }))).toBe(
    '10 standard drinks or more a week: risk use, a line for care staff',
  );
  expect(
    asText(of({ comparator: 'at_least', status: 'definition', limit: 60, unit: 'g', period: 'occasion' })),
  ).toContain('a pattern of risk, not advice');
  expect(asText(of({ comparator: 'none', limit: 0, state: '', period: '' }))).toBe(later.week.noNumber(''));
  expect(asText(of({ comparator: 'band', note: '3-6', period: 'week' }))).toBe(
    'The last seven days lie in its band of 3–6 drinks a week',
  );
});

it('draws every line by the day in one unit, and none for a week', () => {
  const split = [of({ limit: 3, group: 'men' }), of({ limit: 2, group: 'women' }), of({ period: 'week', limit: 10 })];
  expect(dayLines(split)).toMatchObject({ grams: false, lines: [{ limit: 3 }, { limit: 2 }] });
  expect(dayLines([of({ unit: 'g', limit: 20 }), of({ status: 'own', limit: 2 })])).toMatchObject({
    grams: true,
    lines: [{ limit: 20 }],
  });
  expect(dayLines([of({ comparator: 'none', limit: 0 })]).lines).toEqual([]);
  expect(lineLabel(of({ limit: 2, group: 'women' }))).toBe('2 on any one day, for women');
});

it('cautions once for each span, with the lower line first, and only where a line is reached', () => {
  const reached = { state: 'above', reached: true } as const;
  expect(cautionOf([of({})])).toBe('');
  expect(cautionOf([of({ state: 'at', reached: false })])).toBe('');
  const text = cautionOf([
    of({ ...reached, limit: 3, group: 'men' }),
    of({ ...reached, limit: 2, group: 'women' }),
    of({ ...reached, limit: 10, period: 'week' }),
  ]);
  expect(text).toBe('The fullest day is above 2. The last seven days are above 10.');
});
