import { expect, test } from 'vitest';
import { words } from '../words.ts';
import { readPlain, typedOf } from './plain-drink.tsx';

test('a plain drink is read as it is typed', () => {
  expect(readPlain({ name: ' perry ', volume: '330', strength: '5,5' })).toEqual({
    plain: { name: 'perry', vol_ul: 330_000, abv_bp: 550 },
  });
  expect(readPlain(typedOf('perry', 330, 5.5))).toEqual({ plain: { name: 'perry', vol_ul: 330_000, abv_bp: 550 } });
});

test('an empty strength is unknown, nought is none', () => {
  expect(readPlain({ name: 'punch', volume: '100', strength: ' ' })).toMatchObject({ plain: { abv_bp: null } });
  expect(readPlain({ name: 'soda', volume: '100', strength: '0' })).toMatchObject({ plain: { abv_bp: 0 } });
});

test('each field that cannot be read says so', () => {
  expect(readPlain({ name: '', volume: 'a lot', strength: '101' })).toEqual({
    wrong: {
      name: words.sheet.needName,
      volume: words.sheet.needVolume('a lot'),
      strength: words.sheet.needStrength('101'),
    },
  });
  expect(readPlain({ name: 'x', volume: '0', strength: '' })).toEqual({
    wrong: { volume: words.sheet.needVolume('0') },
  });
});
