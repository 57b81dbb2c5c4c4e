import { expect, it } from 'vitest';
import { bottleOf } from './add.tsx';

const form = { id: 'B1', name: 'soft floral gin', size: '', strength: '', price: '', currency: '', opened: '' };
const now = new Date(2026, 4, 15, 22, 4).getTime();

it('needs only a name; what is left empty is not said, so it stays unknown', () => {
  expect(bottleOf(form, now)).toEqual({ wrong: {}, intent: { do: 'bottle', id: 'B1', name: 'soft floral gin' } });
});

it('counts in the model’s units', () => {
  const { intent } = bottleOf(
    { ...form, size: '700', strength: '41,5', price: '28.90', currency: 'eur', opened: '2026-05-01' },
    now,
  );
  expect(intent).toMatchObject({
    size_ul: 700_000,
    abv_bp: 4150,
    price_minor: 2890,
    currency: 'EUR',
    opened_on: '2026-05-01',
  });
  expect(bottleOf({ ...form, price: '3000', currency: 'JPY' }, now).intent).toMatchObject({ price_minor: 3000 });
  expect(bottleOf({ ...form, strength: '0' }, now).intent).toMatchObject({ abv_bp: 0 });
});

it('names each field that is wrong', () => {
  const { intent, wrong } = bottleOf(
    { ...form, name: ' ', size: '0', strength: '140', price: 'much', currency: 'euro', opened: '2026-05-16' },
    now,
  );
  expect(intent).toBeNull();
  expect(Object.keys(wrong).sort()).toEqual(['currency', 'name', 'opened', 'price', 'size', 'strength']);
});
