import { expect, it } from 'vitest';
import { codesIn } from './add-device.tsx';

it('reads the codes and who waits', () => {
  const body = {
    codes: [
      { id: 'a', expires_ms: 5 },
      { id: 'b', expires_ms: 6, waits: { name: 'new phone', since_ms: 1 } },
      { id: 'c', expires_ms: 7, waits: {} },
      { id: 1 },
      null,
    ],
  };
  expect(codesIn({ status: 200, body })).toEqual([
    { id: 'a', expiresMs: 5, waits: null },
    { id: 'b', expiresMs: 6, waits: 'new phone' },
    { id: 'c', expiresMs: 7, waits: null },
  ]);
});

it('takes anything else for no answer', () => {
  for (const answer of [
    { status: 0, body: null },
    { status: 403, body: { codes: [] } },
    { status: 200, body: {} },
    { status: 200, body: 'html' },
  ])
    expect(codesIn(answer)).toBeNull();
});
