import { expect, it } from 'vitest';
import { listIn, problemIn, waitIn } from './answer.ts';

it('takes a list out of a good answer only', () => {
  expect(listIn({ status: 200, body: { events: [{ a: 1 }, null, 'x', 3] } }, 'events')).toEqual([{ a: 1 }]);
  for (const answer of [
    { status: 0, body: null },
    { status: 403, body: { events: [] } },
    { status: 200, body: {} },
    { status: 200, body: { events: {} } },
    { status: 200, body: 'html' },
  ])
    expect(listIn(answer, 'events')).toBeNull();
});

it('reads why, and how long to wait', () => {
  const refused = { status: 429, body: { code: 'too_many_tries', retry_s: 4 } };
  expect([problemIn(refused), waitIn(refused)]).toEqual(['too_many_tries', 4]);
  for (const body of [null, 'html', { code: 3, retry_s: 'soon' }, { retry_s: 0 }])
    expect([problemIn({ status: 500, body }), waitIn({ status: 500, body })]).toEqual(['', null]);
});
