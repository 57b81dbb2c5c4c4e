import { expect, it } from 'vitest';
import { accountsIn, invitationsIn, invitedIn } from './account.ts';

it('reads the accounts', () => {
  const body = {
    accounts: [
      { name: 'Bar', role: 'owner', created_ms: 1, last_seen_ms: 5, devices: 3 },
      { name: 'Pip', role: 'member', created_ms: 2, last_seen_ms: 0, devices: 0 },
      { role: 'member' },
    ],
  };
  expect(accountsIn({ status: 200, body })).toEqual([
    { name: 'Bar', role: 'owner', seenMs: 5, devices: 3 },
    { name: 'Pip', role: 'member', seenMs: 0, devices: 0 },
  ]);
  expect(accountsIn({ status: 403, body: { code: 'not_owner' } })).toBeNull();
});

it('reads the invitations', () => {
  expect(invitationsIn({ status: 200, body: { invitations: [{ id: 'a', expires_ms: 4 }, { id: 1 }] } })).toEqual([
    { id: 'a', expiresMs: 4 },
  ]);
  expect(invitationsIn({ status: 0, body: null })).toBeNull();
});

it('takes only a whole invitation', () => {
  const body = { id: 'a', code: 'ABCD-EFGH-JKMN', expires_ms: 4 };
  expect(invitedIn({ status: 200, body })).toEqual({ id: 'a', code: 'ABCD-EFGH-JKMN', expiresMs: 4 });
  expect(invitedIn({ status: 200, body: { ...body, code: undefined } })).toBeNull();
  expect(invitedIn({ status: 429, body })).toBeNull();
});
