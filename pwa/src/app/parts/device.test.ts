import { expect, it } from 'vitest';
import { devicesIn, shutSince } from './device.ts';

const body = {
  devices: [
    { id: '1', name: 'bar phone', created_ms: 3, last_seen_ms: 9, last_address: '192.0.2.7', this: true },
    { id: '2', name: 'old phone', last_seen_ms: 1, ended_ms: 5, end: 'revoked', this: false },
    { id: '3', name: 'lost tablet', created_ms: 1, ended_ms: 6, end: 'reused', this: false },
    { id: '4', name: 'older tablet', created_ms: 1, ended_ms: 2, end: 'reused', this: false },
  ],
};

it('reads the server’s list and marks who is here and who is gone', () => {
  const [first, second] = devicesIn({ status: 200, body }) as unknown[];
  expect(first).toEqual({
    id: '1',
    name: 'bar phone',
    createdMs: 3,
    seenMs: 9,
    address: '192.0.2.7',
    end: '',
    endedMs: 0,
    here: true,
  });
  expect(second).toMatchObject({ id: '2', seenMs: 1, address: '', end: 'revoked', endedMs: 5, here: false });
});

it('tells of a device shut since this one was let in, not of one before', () => {
  const devices = devicesIn({ status: 200, body });
  if (devices === 'none') throw new Error('no list');
  expect(shutSince(devices).map(({ id }) => id)).toEqual(['3']);
  expect(shutSince([])).toEqual([]);
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
