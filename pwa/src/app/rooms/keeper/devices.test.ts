import { expect, it } from 'vitest';
import { devicesIn } from './devices.tsx';

it('reads the server’s list and marks who is here and who is gone', () => {
  const body = {
    devices: [
      { id: '1', name: 'bar phone', created_ms: 1, last_seen_ms: 2, this: true },
      { id: '2', name: 'old phone', last_seen_ms: 1, ended_ms: 5, end: 'revoked', this: false },
    ],
  };
  expect(devicesIn({ status: 200, body })).toEqual([
    { id: '1', name: 'bar phone', seenMs: 2, end: '', here: true },
    { id: '2', name: 'old phone', seenMs: 1, end: 'revoked', here: false },
  ]);
});

it('takes anything else for no answer', () => {
  for (const answer of [
    { status: 0, body: null },
    { status: 403, body: { code: 'revoked' } },
    { status: 200, body: {} },
    { status: 200, body: 'html' },
  ])
    expect(devicesIn(answer)).toBe('none');
  expect(devicesIn({ status: 200, body: { devices: [null, {}, { id: 1 }] } })).toEqual([]);
});
