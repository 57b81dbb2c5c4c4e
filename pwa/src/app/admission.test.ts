import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import type { ApiAnswer, Claimed } from '../shared/messages.ts';
import type { Place } from './admission.ts';
import { FakePage } from './testing/fake-page.ts';

const redeem = vi.fn<(code: string, name: string) => Promise<ApiAnswer>>();
const claim = vi.fn<() => Promise<Claimed>>();
const dropClaim = vi.fn<() => Promise<void>>();
vi.mock('./core-client.ts', () => ({ redeem, claim, dropClaim }));

const phone: Place = { ios: false, standalone: false, touch: true, wide: false };
let page: FakePage;

async function open(href: string, place: Place) {
  vi.resetModules();
  page = new FakePage(href);
  const it = await import('./admission.ts');
  it.openLink(place);
  await vi.waitFor(() => expect(it.admission.value.at).not.toBe('asking'));
  return it;
}

beforeEach(() => {
  redeem.mockReset();
  claim.mockReset();
  dropClaim.mockReset().mockResolvedValue();
});
afterEach(() => vi.unstubAllGlobals());

describe('a pairing link', () => {
  it('is redeemed at once, and the code leaves the address and the history', async () => {
    redeem.mockResolvedValue({ status: 200, body: {} });
    const { admission } = await open('https://fair.example/pair#code=ABCD-EFGH-JKMN', phone);
    expect(redeem.mock.calls).toEqual([['ABCD-EFGH-JKMN', 'Phone']]);
    expect(admission.value).toEqual({ at: 'rest' });
    expect(page.steps.map((step) => step.url.href)).toEqual(['https://fair.example/']);
  });

  it('in Safari on an iPhone is not redeemed: the code is carried to the Home Screen app', async () => {
    const { admission } = await open('https://fair.example/pair#code=ABCD-EFGH-JKMN', { ...phone, ios: true });
    expect(redeem).not.toHaveBeenCalled();
    expect(admission.value).toEqual({ at: 'carry', code: 'ABCD-EFGH-JKMN' });
    expect(page.address).toBe('/');
  });

  it('in the Home Screen app is redeemed', async () => {
    redeem.mockResolvedValue({ status: 200, body: {} });
    await open('https://fair.example/pair#code=ABCD-EFGH-JKMN', { ...phone, ios: true, standalone: true });
    expect(redeem).toHaveBeenCalledOnce();
  });

  it('that the server refuses says why', async () => {
    redeem.mockResolvedValue({ status: 403, body: { status: 403, code: 'code_expired', title: 'Forbidden' } });
    const { admission } = await open('https://fair.example/pair#code=ABCD-EFGH-JKMN', phone);
    expect(admission.value).toEqual({ at: 'refused', code: 'ABCD-EFGH-JKMN', why: 'code_expired' });
  });

  it.each([
    ['no answer', () => redeem.mockResolvedValue({ status: 0, body: null })],
    ['a worker that ended', () => redeem.mockImplementation(() => Promise.reject(new Error('the worker ended')))],
  ])('with %s keeps the code for another try', async (_what, answer) => {
    answer();
    const { admission } = await open('https://fair.example/pair#code=ABCD-EFGH-JKMN', phone);
    expect(admission.value).toEqual({ at: 'refused', code: 'ABCD-EFGH-JKMN', why: '' });
  });

  it.each(['https://fair.example/pair', 'https://fair.example/pair#code=', 'https://fair.example/#code=ABCD'])(
    '%s is none',
    async (href) => {
      const { admission } = await open(href, phone);
      expect(admission.value).toEqual({ at: 'rest' });
      expect(redeem).not.toHaveBeenCalled();
    },
  );
});

describe('a link to set up or to join', () => {
  it.each([
    ['/setup#key=abcdefghij234567', '/setup', { key: 'abcdefghij234567', code: '', linked: true }],
    ['/join#code=ABCD-EFGH-JKMN', '/join', { key: '', code: 'ABCD-EFGH-JKMN', linked: true }],
  ])('%s leaves the address and the history, and is sent nowhere', async (at, path, kept) => {
    const { admission, held } = await open(`https://fair.example${at}`, { ...phone, ios: true });
    expect(held.value).toEqual(kept);
    expect(admission.value).toEqual({ at: 'rest' });
    expect(page.steps.map((step) => step.url.href)).toEqual([`https://fair.example${path}`]);
    expect(redeem).not.toHaveBeenCalled();
  });

  it.each(['/setup', '/setup#key=', '/setup#code=ABCD', '/join', '/join#key=abcd', '/#key=abcd'])(
    '%s holds nothing',
    async (at) => {
      const { held } = await open(`https://fair.example${at}`, phone);
      expect(held.value).toEqual({ key: '', code: '', linked: false });
    },
  );
});

describe('after a code', () => {
  const link = 'https://fair.example/pair#code=ABCD-EFGH-JKMN';

  it('that is an invitation, joining keeps the code', async () => {
    redeem.mockResolvedValue({ status: 422, body: { code: 'invitation' } });
    const { admission, held } = await open(link, phone);
    expect(page.address).toBe('/join');
    expect(held.value.code).toBe('ABCD-EFGH-JKMN');
    expect(admission.value).toEqual({ at: 'rest' });
    expect(page.steps).toHaveLength(1);
  });

  it.each([
    [0, '/'],
    [3, '/bring'],
  ])('with %d entries undecided the page is %s', async (undecided, at) => {
    redeem.mockImplementation(async () => {
      const { journal } = await import('./state.ts');
      journal.value = { id: 'j', paired: null, apart: undecided, undecided };
      return { status: 200, body: {} };
    });
    await open(link, phone);
    expect(page.address).toBe(at);
  });
});

describe('a code that another device has to confirm', () => {
  const link = 'https://fair.example/pair#code=ABCD-EFGH-JKMN';
  const still: Claimed = { number: '47', answer: { status: 202, body: null } };
  const problem = (status: number, code: string): Claimed => ({
    number: null,
    answer: { status, body: { status, code } },
  });
  beforeEach(() => {
    redeem.mockResolvedValue({ status: 202, body: { number: '47' } });
    vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout', 'Date'] });
  });
  afterEach(() => void vi.useRealTimers());
  const waits = async () => {
    vi.resetModules();
    page = new FakePage(link);
    const it = await import('./admission.ts');
    it.openLink(phone);
    await vi.advanceTimersByTimeAsync(0);
    expect(it.admission.value).toEqual({ at: 'waiting' });
    expect(it.waiting.value).toBe('47');
    return it;
  };

  it('shows its number and asks every two seconds until it is let in', async () => {
    claim.mockResolvedValueOnce(still).mockResolvedValueOnce({ number: '47', answer: { status: 0, body: null } });
    claim.mockResolvedValueOnce({ number: null, answer: { status: 200, body: {} } });
    const { admission, waiting } = await waits();
    await vi.advanceTimersByTimeAsync(1_999);
    expect(claim).toHaveBeenCalledTimes(0);
    await vi.advanceTimersByTimeAsync(2_001);
    expect(claim).toHaveBeenCalledTimes(2);
    expect(admission.value).toEqual({ at: 'waiting' });
    await vi.advanceTimersByTimeAsync(2_000);
    expect(admission.value).toEqual({ at: 'rest' });
    expect(waiting.value).toBeNull();
    await vi.advanceTimersByTimeAsync(60_000);
    expect(claim).toHaveBeenCalledTimes(3);
  });

  it.each([
    [403, 'refused'],
    [403, 'code_expired'],
    [410, 'claim_gone'],
  ])('that ends with %s %s says so', async (status, why) => {
    claim.mockResolvedValue(problem(status, why));
    const { admission, waiting } = await waits();
    await vi.advanceTimersByTimeAsync(2_000);
    expect(admission.value).toEqual({ at: 'refused', code: '', why });
    expect(waiting.value).toBeNull();
  });

  it('is waited for after a reload too', async () => {
    vi.resetModules();
    page = new FakePage('https://fair.example/');
    claim.mockResolvedValueOnce(still).mockResolvedValue({ number: null, answer: { status: 200, body: {} } });
    const it = await import('./admission.ts');
    await it.resume();
    expect(it.admission.value).toEqual({ at: 'waiting' });
    await vi.advanceTimersByTimeAsync(2_000);
    expect(it.admission.value).toEqual({ at: 'rest' });
    expect(redeem).not.toHaveBeenCalled();
  });

  it('that nothing waits for changes nothing at a start', async () => {
    vi.resetModules();
    page = new FakePage('https://fair.example/');
    claim.mockResolvedValue({ number: null, answer: null });
    const it = await import('./admission.ts');
    await it.resume();
    expect(it.admission.value).toEqual({ at: 'rest' });
    await vi.advanceTimersByTimeAsync(10_000);
    expect(claim).toHaveBeenCalledOnce();
  });

  it('that is given up is not asked for again', async () => {
    const { admission, giveUp } = await waits();
    await giveUp();
    expect(dropClaim).toHaveBeenCalledOnce();
    expect(admission.value).toEqual({ at: 'rest' });
    await vi.advanceTimersByTimeAsync(10_000);
    expect(claim).not.toHaveBeenCalled();
  });
});

it('a device is named by what it is', async () => {
  const { nameOf } = await open('https://fair.example/', phone);
  expect([phone, { ...phone, wide: true }, { ...phone, touch: false, wide: true }].map(nameOf)).toEqual([
    'phone',
    'tablet',
    'laptop',
  ]);
});

it('every refusal of the server at the door has words of its own', async () => {
  const { words } = await import('./words.ts');
  const other = words.pair.refused('never heard of');
  const codes = [
    '',
    'code_unreadable',
    'code_unknown',
    'code_expired',
    'name',
    'too_many_tries',
    'busy',
    'refused',
    'claim_gone',
  ];
  const said = codes.map((code) => words.pair.refused(code));
  expect(new Set([...said, other]).size).toBe(codes.length + 1);
});
