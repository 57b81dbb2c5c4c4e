import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import type { FromWorker, ToWorker } from '../shared/messages.ts';

class FakeWorker {
  static all: FakeWorker[] = [];
  readonly got: ToWorker[] = [];
  onmessage: ((event: { data: FromWorker }) => void) | null = null;
  onerror: (() => void) | null = null;
  ended = false;
  constructor() {
    FakeWorker.all.push(this);
  }
  postMessage(message: ToWorker): void {
    this.got.push(structuredClone(message));
  }
  terminate(): void {
    this.ended = true;
  }
  say(message: FromWorker): void {
    this.onmessage?.({ data: message });
  }
}

let client: typeof import('./core-client.ts');
const worker = () => FakeWorker.all.at(-1) as FakeWorker;

beforeEach(async () => {
  vi.resetModules();
  FakeWorker.all = [];
  vi.stubGlobal('Worker', FakeWorker);
  client = await import('./core-client.ts');
});
afterEach(() => vi.unstubAllGlobals());

describe('a call', () => {
  it('gets the reply with its number, in whatever order they come', async () => {
    const [first, second] = [client.ask({ q: 'week' }), client.ask({ q: 'bottles' })];
    const [a, b] = worker().got as [ToWorker, ToWorker];
    worker().say({ say: 'reply', no: b.no, reply: { ok: 'bottles' } });
    worker().say({ say: 'reply', no: a.no, reply: { ok: 'week' } });
    expect(await Promise.all([first, second])).toEqual(['week', 'bottles']);
  });

  it('rejects with the refusal or the fault', async () => {
    const refused = client.act({ do: 'delete', id: 'x' });
    const faulty = client.ask({ q: 'week' });
    const [a, b] = worker().got as [ToWorker, ToWorker];
    worker().say({ say: 'reply', no: a.no, reply: { refusal: { code: 'gone', field: 'id', text: 'it is gone' } } });
    worker().say({ say: 'reply', no: b.no, reply: { fault: 'not ready' } });
    await expect(refused).rejects.toMatchObject({ refusal: { code: 'gone', field: 'id' } });
    await expect(faulty).rejects.toThrow('not ready');
  });

  it('to a worker that ends is answered, and the next starts a new worker', async () => {
    const lost = client.ask({ q: 'week' });
    const first = worker();
    first.onerror?.();
    await expect(lost).rejects.toThrow('ended');
    expect(first.ended).toBe(true);
    void client.ask({ q: 'week' });
    expect(FakeWorker.all).toHaveLength(2);
  });
});

describe('an intent', () => {
  it('carries text in NFC, wherever it stands', () => {
    void client.act({ do: 'spec', id: 'x', name: 'Cafe\u0301', lines: [{ typed: '2 cl Cre\u0300me' }] });
    expect(worker().got[0]?.call).toMatchObject({
      intent: { name: 'Caf\u00e9', lines: [{ typed: '2 cl Cr\u00e8me' }] },
    });
  });

  it('that happens at a time carries the zone in force here, unless it says another', () => {
    const here = Intl.DateTimeFormat().resolvedOptions().timeZone;
    void client.act({ do: 'water', id: 'x', vol_ul: 250_000 });
    void client.act({ do: 'water', id: 'x', vol_ul: 250_000, zone: 'Pacific/Auckland' });
    void client.act({ do: 'delete', id: 'x' });
    expect(worker().got.map(({ call }) => (call as { intent: { zone?: string } }).intent.zone)).toEqual([
      here,
      'Pacific/Auckland',
      undefined,
    ]);
  });
});

it('what a worker says becomes what the page shows', async () => {
  const state = await import('./state.ts');
  const told: (readonly string[])[] = [];
  client.subscribe((ids) => void told.push(ids));
  void client.ask({ q: 'week' });
  const sync = {
    state: 'unsent',
    unsent: 2,
    unreadable: 0,
    online: false,
    code: null,
    last_ms: null,
    clock_off_ms: 0,
  } as const;
  worker().say({ say: 'journal', journal: { id: 'j', paired: null, apart: 0, undecided: 0 } });
  worker().say({ say: 'news', news: { news: 'ready' } });
  worker().say({ say: 'news', news: { news: 'sync', state: sync } });
  worker().say({ say: 'news', news: { news: 'changed', ids: ['a'] } });
  expect([state.ready.value, state.journal.value?.id, state.sync.value]).toEqual([true, 'j', sync]);
  expect(told).toEqual([[], ['a']]);
  worker().say({ say: 'journal', journal: { id: 'k', paired: null, apart: 0, undecided: 0 } });
  expect(state.ready.value).toBe(false); // another journal is being read
  worker().say({ say: 'no_disk', why: 'private mode' });
  expect(state.storage.value).toBe('none');
});

describe('bringing entries along', () => {
  it('tells how far it is, and is over when it ends, whichever way', async () => {
    const { bringing } = await import('./state.ts');
    const brought = client.bring('along');
    expect(worker().got.at(-1)?.call).toEqual({ call: 'bring', how: 'along' });
    worker().say({ say: 'news', news: { news: 'bringing', done: 400, total: 900 } });
    expect(bringing.value).toMatchObject({ done: 400, total: 900 });
    worker().say({ say: 'news', news: { news: 'bringing', done: 900, total: 900 } });
    expect(bringing.value).toBeNull();
    worker().say({ say: 'news', news: { news: 'bringing', done: 1, total: 900 } });
    worker().say({ say: 'reply', no: 1, reply: { ok: { brought: 3, not_brought: 1 } } });
    expect(await brought).toEqual({ brought: 3, not_brought: 1 });
    expect(bringing.value).toBeNull();

    const refused = client.bringFile(new Blob(['{}']));
    worker().say({ say: 'news', news: { news: 'bringing', done: 1, total: 2 } });
    const text = 'this is no exported file';
    worker().say({ say: 'reply', no: 2, reply: { refusal: { code: 'not_an_export', field: 'file', text } } });
    await expect(refused).rejects.toMatchObject({ refusal: { code: 'not_an_export' } });
    expect(bringing.value).toBeNull();
  });
});

it('more known of the open journal does not begin it anew', async () => {
  const state = await import('./state.ts');
  void client.enter('sign-in', { name: 'Bar', password: 'a long pass phrase' });
  void client.me();
  expect(worker().got.map(({ call }) => call)).toEqual([
    { call: 'enter', path: 'sign-in', body: { name: 'Bar', password: 'a long pass phrase' } },
    { call: 'me' },
  ]);
  const journal = { id: 'j', paired: null, apart: 3, undecided: 3 };
  worker().say({ say: 'journal', journal });
  worker().say({ say: 'news', news: { news: 'ready' } });
  worker().say({ say: 'known', journal: { ...journal, undecided: 0 } });
  expect([state.ready.value, state.journal.value?.undecided]).toEqual([true, 0]);
});
