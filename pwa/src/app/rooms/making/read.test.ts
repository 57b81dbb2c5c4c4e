import { describe, expect, it } from 'vitest';
import {
  blankCut,
  blankInfusion,
  cutQuestion,
  blankSyrup,
  infusionQuestion,
  keptSyrup,
  keptText,
  syrupQuestion,
} from './read.ts';

describe('cutting a spirit', () => {
  it('is asked about in microlitres and basis points', () => {
    expect(cutQuestion({ volume: '100', from: '60', to: '37,5' })).toEqual({
      question: { q: 'cut', vol_ul: 100_000, abv_bp: 6000, to_bp: 3750 },
    });
  });

  it.each([
    ['volume', { volume: '0' }],
    ['from', { from: '101' }],
    ['to', { to: 'weak' }],
    ['to', { to: '61' }],
  ] as const)('says what is wrong with %s', (key, part) => {
    const asked = cutQuestion({ ...blankCut(), ...part });
    expect('wrong' in asked && Object.keys(asked.wrong)).toEqual([key]);
  });
});

describe('a syrup', () => {
  it('is asked about in milligrams, with its price in minor units', () => {
    expect(syrupQuestion({ ...blankSyrup(), made: '540', price: '2,30', currency: 'eur' }, 2)).toEqual({
      question: {
        q: 'syrup',
        sugar_mg: 500_000,
        water_mg: 250_000,
        made_ul: 540_000,
        sugar_price_minor_per_kg: 230,
      },
    });
    expect(syrupQuestion({ ...blankSyrup(), price: '230', currency: 'JPY' }, 0)).toMatchObject({
      question: { sugar_price_minor_per_kg: 230 },
    });
  });

  it('is read in parts by weight', () => {
    expect(syrupQuestion({ ...blankSyrup(), by: 'weight', sugar: '300', sugarParts: '1,5' }, 2)).toMatchObject({
      question: { sugar_mg: 300_000, water_mg: 200_000 },
    });
  });

  it('is read in parts by volume', () => {
    expect(syrupQuestion({ ...blankSyrup(), by: 'volume', sugar: '236.6', sugarParts: '2' }, 2)).toMatchObject({
      question: { sugar_ul: 236_600, water_ul: 118_300 },
    });
  });

  it.each([
    ['sugar', { sugar: 'some' }],
    ['water', { water: '0' }],
    ['waterParts', { by: 'weight', waterParts: '' }],
    ['made', { made: '0' }],
    ['price', { price: 'x', currency: 'EUR' }],
    ['currency', { price: '2', currency: '€' }],
  ] as const)('names the field %s when it is wrong: %o', (field, part) => {
    const asked = syrupQuestion({ ...blankSyrup(), ...part }, 2);
    expect(Object.keys('wrong' in asked ? asked.wrong : {})).toContain(field);
  });

  it('takes from the disk only what is such a form', () => {
    expect(keptSyrup(blankSyrup())).toEqual(blankSyrup());
    expect(keptSyrup({ ...blankSyrup(), by: 'spoons' })).toBeNull();
    expect(keptSyrup({ by: 'grams' })).toBeNull();
  });
});

describe('an infusion', () => {
  it('is asked about with what is known of it', () => {
    expect(infusionQuestion({ ...blankInfusion(), what: ' dried pear ' })).toEqual({
      question: { q: 'infusion', vol_ul: 500_000, abv_bp: 4000, what: 'dried pear' },
    });
    expect(infusionQuestion({ ...blankInfusion(), strength: '47,5', made: '460', fruit: '30' })).toMatchObject({
      question: { abv_bp: 4750, made_ul: 460_000, water_ul: 30_000 },
    });
  });

  it.each([
    ['spirit', { spirit: '0' }],
    ['strength', { strength: '101' }],
    ['made', { made: 'x' }],
    ['fruit', { fruit: '-1' }],
  ] as const)('names the field %s when it is wrong: %o', (field, part) => {
    const asked = infusionQuestion({ ...blankInfusion(), ...part });
    expect(Object.keys('wrong' in asked ? asked.wrong : {})).toEqual([field]);
  });

  it('takes from the disk only what is such a form', () => {
    expect(keptText(blankInfusion())({ ...blankInfusion(), made: 5 })).toBeNull();
    expect(keptText(blankInfusion())(blankInfusion())).toEqual(blankInfusion());
  });
});
