import { expect, it } from 'vitest';
import { shortIssuer } from './guide.tsx';

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
