import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { FakePage } from '../testing/fake-page.ts';

vi.mock('../core-client.ts', () => ({ enter: vi.fn() }));

let door: typeof import('./entering.ts');
let later: (typeof import('../words.ts'))['later'];
beforeEach(async () => {
  new FakePage('https://fair.example/sign-in');
  door = await import('./entering.ts');
  const spoken = await import('../words.ts');
  await spoken.fetchLater();
  ({ later } = spoken);
});
afterEach(() => vi.unstubAllGlobals());

describe('a name', () => {
  it('is sent composed and without the spaces around it', () => {
    expect(door.tidyName('  Zoe\u0308 K.  ')).toBe('Zo\u00eb K.');
  });

  it.each([
    ['', 'words missing'],
    ['   ', 'words missing'],
    ['x'.repeat(61), 'too long'],
  ])('%j is not one', (typed, what) => {
    expect(door.nameFault(typed)).toBe(what === 'too long' ? later.door.accountLong(61) : later.door.accountMissing);
  });

  it.each(['Z', 'x'.repeat(60), '🍐'.repeat(60), 'e\u0301'.repeat(60)])('%j is one', (typed) => {
    expect(door.nameFault(typed)).toBeNull();
  });
});

describe('a new password', () => {
  it.each([
    ['', 0],
    ['nine char', 9],
    ['🍐'.repeat(9), 9],
    ['e\u0301'.repeat(9), 9], // composed, as it is counted by the server
  ])('%j is too short', (typed, n) => {
    expect(door.newPasswordFault(typed)).toBe(later.door.passwordShort(n));
  });

  it.each(['ten chars!', '          ', '🍐'.repeat(10), 'x'.repeat(256)])('%j will do, spaces and all', (typed) => {
    expect(door.newPasswordFault(typed)).toBeNull();
  });

  it('is too long from 257 characters on', () => {
    expect(door.newPasswordFault('x'.repeat(257))).toBe(later.door.passwordLong(257));
  });
});

describe('a wait', () => {
  it.each([
    [1, 'one second'],
    [44.2, '45 seconds'],
    [59, '59 seconds'],
    [60, 'one minute'],
    [61, '2 minutes'],
    [900, '15 minutes'],
  ])('of %d s is said as %s', (seconds, text) => {
    expect(door.waitText(seconds)).toBe(text);
  });

  it('of more than a minute says when it ends', () => {
    const now = new Date(2026, 10, 25, 23, 50, 30).getTime();
    expect(door.timeAfter(60, now)).toBe('');
    expect(door.timeAfter(900, now)).toBe('00:05');
  });
});

describe('a refusal', () => {
  it.each([
    ['wrong', 'password'],
    ['wrong_password', 'old'],
    ['password', 'password'],
    ['account_name', 'name'],
    ['name_taken', 'name'],
    ['name', 'device'],
    ['no_setup', 'key'],
    ['not_invitation', 'code'],
    ['code_unknown', 'code'],
    ['', ''],
    ['internal', ''],
    ['never heard of', ''],
  ])('%j stands at the field %j, in words', (why, at) => {
    expect(door.faultsOf({ why, retryS: null }, 0)).toEqual({ [at]: later.door.refused(why) });
  });

  it('has words of its own for each code', () => {
    const codes = ['', 'wrong', 'wrong_password', 'password', 'account_name', 'name_taken', 'name', 'no_setup'];
    codes.push('not_invitation', 'code_unreadable', 'code_unknown', 'code_expired', 'internal', 'no_space');
    codes.push('signed_out', 'expired', 'revoked');
    expect(new Set([...codes, 'other'].map((code) => later.door.refused(code))).size).toBe(codes.length + 1);
  });

  it('that asks to wait says how long', () => {
    const now = new Date(2026, 10, 25, 20, 0).getTime();
    const refused = door.refusedIn({ body: { code: 'too_many_tries', retry_s: 300 } });
    expect(refused).toEqual({ why: 'too_many_tries', retryS: 300 });
    expect(door.faultsOf(refused, now)).toEqual({ '': later.door.tooMany('5 minutes', '20:05') });
    expect(door.faultsOf({ why: 'busy', retryS: 2 }, now)).toEqual({ '': later.door.busy('2 seconds', '') });
  });

  it.each([null, 'text', {}, { code: 7, retry_s: 'soon' }, { retry_s: -1 }])(
    'without a code (%j) is no answer',
    (body) => {
      expect(door.refusedIn({ body })).toEqual({ why: '', retryS: null });
    },
  );
});
