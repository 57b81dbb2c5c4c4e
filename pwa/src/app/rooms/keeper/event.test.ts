import { expect, it } from 'vitest';
import { later } from '../../words.ts';
import { eventsIn } from './event.ts';

it('reads the events, newest first, and leaves out what has no time or no word', () => {
  const body = {
    events: [
      { at_ms: 1, what: 'set_up', device: 'a', name: 'bar phone' },
      { at_ms: 3, what: 'renamed', device: 'b', name: 'till', by: 'a', address: '192.0.2.7' },
      { at_ms: 2 },
      { what: 'joined' },
      null,
    ],
  };
  expect(eventsIn({ status: 200, body })).toEqual([
    { atMs: 3, what: 'renamed', device: 'b', name: 'till', by: 'a', address: '192.0.2.7' },
    { atMs: 1, what: 'set_up', device: 'a', name: 'bar phone', by: '', address: '' },
  ]);
  expect(eventsIn({ status: 401, body })).toBeNull();
});

/** Those of server/auth/audit.go. */
const all = [
  'set_up',
  'signed_in',
  'sign_in_failed',
  'signed_out',
  'joined',
  'admitted',
  'renamed',
  'revoked',
  'reused',
  'password_changed',
  'recovered',
  'invited',
  'invitation_ended',
];

it.each(all)('%s has a sentence, with a name and without', (what) => {
  expect(later.signIns.told(what, 'till')).toMatch(/till.*\.$/);
  expect(later.signIns.plain(what)).toMatch(/^[A-Z].* .*\.$/);
});

it('an event of a later server stands by its own word', () => {
  expect(later.signIns.plain('moved_house')).toBe('moved house');
  expect(later.signIns.told('moved_house', 'till')).toBe('moved house: till');
});
