import { expect, it } from 'vitest';
import type { Guideline } from '../../shared/core.ts';
import { passShort, shortIssuer } from './guide.tsx';

it('names the body of a guideline in one breath', () => {
  expect(
    shortIssuer('NHMRC, Australian Guidelines to Reduce Health Risks from Drinking Alcohol, 2020 (DS14); AIHW'),
  ).toBe('NHMRC');
  expect(shortIssuer('UK Chief Medical Officers Low Risk Drinking Guidelines (published 25 Aug 2016)')).toBe(
    'UK Chief Medical Officers Low Risk Drinking Guidelines',
  );
  expect(shortIssuer('NIAAA / CDC heavy drinking definition')).toBe('NIAAA');
  expect(shortIssuer('one body')).toBe('one body');
});

it('says beside a row one line of those it would reach, the own limit first', () => {
  const day: Guideline = {
    issuer: 'one body, its guidance',
    year: 2020,
    status: 'current',
    comparator: 'at_most',
    limit: 4,
    unit: 'standard drink',
    period: 'day',
    group: 'adults',
    state: 'above',
    note: '',
    spread_days: 0,
  };
  const own: Guideline = { ...day, issuer: 'own', year: 0, status: 'own', limit: 2.5, state: 'at' };
  expect(passShort([])).toBe('');
  expect(passShort([{ ...day, state: 'below' }])).toBe('');
  expect(passShort([day])).toBe('above 4 on any one day (one body, 2020)');
  expect(passShort([day, own])).toBe('reaches your own 2.5 on any one day');
});
