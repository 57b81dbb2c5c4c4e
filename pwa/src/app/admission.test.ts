import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import type { ApiAnswer } from '../shared/messages.ts';
import type { Place } from './admission.ts';
import { FakePage } from './testing/fake-page.ts';

const redeem = vi.fn<(code: string, name: string) => Promise<ApiAnswer>>();
vi.mock('./core-client.ts', () => ({ redeem }));

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

beforeEach(() => void redeem.mockReset());
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
  const codes = ['', 'code_unreadable', 'code_unknown', 'code_expired', 'name', 'too_many_tries', 'busy'];
  const said = codes.map((code) => words.pair.refused(code));
  expect(new Set([...said, other]).size).toBe(codes.length + 1);
});
