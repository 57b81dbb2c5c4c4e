import 'fake-indexeddb/auto';
import { afterEach, describe, expect, it } from 'vitest';
import type { News } from '../shared/messages.ts';
import { Carrier, type CarrierEnv } from './carrier.ts';
import type { Row } from './core.ts';
import { JournalDb } from './db.ts';
import type { Heard } from './http.ts';
import { type Entry, FakeCore, foreign } from './testing/fake-core.ts';
import { type Fault, faults, withFault } from './testing/faulty-disk.ts';

/** How long a transaction may take: long enough for any machine, for the store in memory answers an abort in the middle of one wrongly. */
const limitMs = 250;
const say = (id: string, text = id) => ({ id, text }) as never; // an intent, as the fake core understands it

/** One device: a carrier with its core and disk, timers run by hand, a server that answers what it is told. */
class Device {
  readonly core = new FakeCore();
  readonly news: News[] = [];
  readonly sent: string[] = [];
  timers: { at: number; run: () => void }[] = [];
  answers: (Heard | null)[] = [];
  boots = 0;
  poke: () => void = () => undefined;
  lost: () => void = () => undefined;
  streams = 0;
  opened = 0;
  now = 1_790_000_000_000;
  carrier!: Carrier;
  disk!: JournalDb;

  static async start(journal: string, paired = true): Promise<Device> {
    const device = await Device.make(journal, paired);
    await device.carrier.start();
    return device;
  }

  static async make(journal: string, paired = true, signedOut = false): Promise<Device> {
    const device = new Device();
    device.disk = await JournalDb.open(journal, () => undefined, limitMs);
    const env: CarrierEnv = {
      config: { journal, app: '0' },
      paired,
      signedOut,
      boot: async () => {
        device.boots++;
        return device.core;
      },
      disk: device.disk,
      now: () => device.now,
      offsetMin: () => 120,
      onLine: () => true,
      send: async (body) => {
        device.sent.push(body);
        return device.answers.length > 0 ? (device.answers.shift() ?? null) : ok();
      },
      pokes: (poke, lost) => {
        device.streams++;
        device.opened++;
        device.poke = poke;
        device.lost = lost;
        return () => void device.streams--;
      },
      after: (ms, run) => {
        const timer = { at: device.now + ms, run };
        device.timers.push(timer);
        return () => void (device.timers = device.timers.filter((t) => t !== timer));
      },
      tell: (news) => device.news.push(news),
    };
    device.carrier = new Carrier(env);
    running.push(device);
    return device;
  }

  /** Moves the clock and runs what falls due, letting each exchange come to rest. */
  async pass(ms: number): Promise<void> {
    const until = this.now + ms;
    for (;;) {
      const due = this.timers.filter((t) => t.at <= until).sort((a, b) => a.at - b.at)[0];
      if (!due) break;
      this.timers = this.timers.filter((t) => t !== due);
      this.now = Math.max(this.now, due.at);
      due.run();
      await this.rest();
    }
    this.now = until;
  }

  async rest(): Promise<void> {
    for (let i = 0; i < 30; i++) {
      await this.carrier.quiet();
      await new Promise((resolve) => setTimeout(resolve, 0));
    }
  }

  async texts(): Promise<string[]> {
    const reply = await this.carrier.ask({ q: 'week' });
    if (!('ok' in reply)) throw new Error(JSON.stringify(reply));
    return (reply.ok as { texts: string[] }).texts;
  }

  get state() {
    const last = this.news.filter((n) => n.news === 'sync').at(-1);
    return last?.news === 'sync' ? last.state : undefined;
  }
}

const running: Device[] = [];
afterEach(() => {
  for (const device of running.splice(0)) {
    device.carrier.close();
    device.disk.close();
  }
});

const ok = (): Heard => ({ status: 200, body: '{}', retryAfterMs: null });
const problem = (status: number, retryAfterMs: number | null = null): Heard => ({ status, body: '{}', retryAfterMs });

/** Everything on disk, as a later start of the app would find it. */
async function rows(disk: JournalDb): Promise<{ rev: number; last: unknown; queue: string[]; copy: string[] }> {
  const all: Record<string, Row[]> = { meta: [], queue: [], copy: [], seen: [], seen_next: [] };
  await disk.load((store, part) => all[store]?.push(...part));
  const meta = new Map(all.meta?.map(([key, value]) => [key as string, value]));
  const ids = (of: Row[] | undefined) => (of ?? []).map(([, value]) => (value as Entry).id).sort();
  return {
    rev: Number(meta.get('rev') ?? 0),
    last: meta.get('last'),
    queue: ids(all.queue),
    copy: ids(all.copy),
  };
}

let n = 0;
const fresh = () => `test${++n}`;

describe('a save', () => {
  it('is on disk before it is answered, and what is on screen is told to ask again', async () => {
    const device = await Device.start(fresh());
    const reply = await device.carrier.act(say('a'));
    expect(reply).toEqual({ ok: { made: 'a', touched: [] } });
    expect(await rows(device.disk)).toEqual({ rev: 1, last: 'a', queue: ['a'], copy: [] });
    expect(device.core.settled).toEqual(['done']);
    expect(device.news).toContainEqual({ news: 'changed', ids: ['a'] });
    expect(device.state?.unsent).toBe(1);
  });

  it('that the core refuses writes nothing', async () => {
    const device = await Device.start(fresh());
    expect(await device.carrier.act(say('a', ''))).toEqual({
      refusal: { code: 'empty', field: 'text', text: 'nothing was written' },
    });
    expect(await rows(device.disk)).toEqual({ rev: 0, last: undefined, queue: [], copy: [] });
  });

  it('waits for the one before: many at once are written one by one', async () => {
    const device = await Device.start(fresh());
    const replies = await Promise.all(Array.from({ length: 20 }, (_, i) => device.carrier.act(say(`e${i}`))));
    expect(replies.every((r) => 'ok' in r)).toBe(true);
    expect((await rows(device.disk)).rev).toBe(20);
    expect((await rows(device.disk)).queue).toHaveLength(20);
    expect(device.core.settled).toEqual(Array(20).fill('done'));
  });
});

describe('a disk that fails', () => {
  for (const fault of faults) {
    // A save makes three requests, an exchange of two entries makes five; the point after the last must not fire.
    for (let point = 0; point <= 3; point++) {
      it(`save: ${fault} at request ${point}`, () => saveUnderFault(fault, point, point < 3));
    }
    for (let point = 0; point <= 5; point++) {
      it(`exchange: ${fault} at request ${point}`, () => exchangeUnderFault(fault, point, point < 5));
    }
  }

  async function saveUnderFault(fault: Fault, point: number, fires: boolean) {
    const device = await Device.start(fresh(), false);
    await device.carrier.act(say('before'));
    const before = await rows(device.disk);
    const { result, fired } = await withFault(point, fault, () => device.carrier.act(say('new')));
    expect(fired).toBe(fires);
    const after = await rows(device.disk);
    const whole = { rev: 2, last: 'new', queue: ['before', 'new'], copy: [] };
    if (fires) {
      expect('fault' in result).toBe(true);
      expect(device.core.settled).toEqual(['done', 'failed']);
      expect(device.core.starts).toBe(2); // read again from disk
      // Nobody can tell whether a silent commit was in time, but it is all of it or nothing.
      expect(fault === 'silent commit' ? [whole, before] : [before]).toContainEqual(after);
    } else {
      expect(result).toEqual({ ok: { made: 'new', touched: [] } });
      expect(after).toEqual(whole);
    }
    expect(await device.texts()).toEqual(after.queue); // the screen shows what is on disk, no more and no less
    expect(await device.carrier.act(say('new'))).toHaveProperty('ok');
    expect((await rows(device.disk)).queue.filter((id) => id === 'before')).toHaveLength(1);
  }

  async function exchangeUnderFault(fault: Fault, point: number, fires: boolean) {
    const device = await Device.start(fresh());
    await device.carrier.act(say('a'));
    await device.carrier.act(say('b'));
    const { fired } = await withFault(point, fault, async () => {
      await device.pass(1_000);
      await new Promise((resolve) => setTimeout(resolve, limitMs + 60)); // past the limit of the silent ones
      await device.rest();
    });
    expect(fired).toBe(fires);
    const after = await rows(device.disk);
    const untouched = { rev: 2, last: 'b', queue: ['a', 'b'], copy: [] };
    const whole = { rev: 3, last: 'b', queue: [], copy: ['a', 'b'] };
    expect(fires ? (fault === 'silent commit' ? [whole, untouched] : [untouched]) : [whole]).toContainEqual(after);
    expect(await device.texts()).toEqual(['a', 'b']);
    await device.pass(6 * 60_000); // it tries again by itself
    expect(await rows(device.disk)).toMatchObject({ queue: [], copy: ['a', 'b'] });
    expect(device.state).toMatchObject({ state: 'synced', unsent: 0 });
  }
});

describe('a file of everything', () => {
  const text = async (device: Device) => {
    const reply = await device.carrier.export();
    if (!('ok' in reply)) throw new Error(JSON.stringify(reply));
    expect(reply.ok.type).toBe('application/json');
    return reply.ok.text();
  };

  it('holds what was sent and what was not, piece after piece', async () => {
    const device = await Device.start(fresh());
    await device.carrier.act(say('a'));
    await device.pass(1_000);
    await device.carrier.act(say('b'));
    expect(await text(device)).toBe('["b"]\n["a"]\n');
  });

  it('is made when syncing has stopped, and after a fault of the core', async () => {
    const device = await Device.start(fresh());
    device.answers = [problem(403)];
    device.core.nexts.push({ go: 'stop', code: 'revoked' });
    await device.pass(1);
    await device.carrier.act(say('a'));
    expect(await text(device)).toBe('["a"]\n[]\n');
    device.core.fells.add('week');
    expect(await device.carrier.ask({ q: 'week' })).toHaveProperty('fault');
    expect(await text(device)).toBe('["a"]\n[]\n');
  });

  it('waits for the save before it', async () => {
    const device = await Device.start(fresh());
    const [, file] = await Promise.all([device.carrier.act(say('a')), text(device)]);
    expect(file).toBe('["a"]\n[]\n');
  });
});

describe('an exported file', () => {
  const file = (...ids: string[]) => new Blob([JSON.stringify(ids.map((id) => ({ id, text: id })))]);
  const five = () => file('a', 'b', 'c', 'd', 'e');
  const steps = (device: Device) => device.news.filter((n) => n.news === 'bringing').map((n) => [n.done, n.total]);

  it('is made again here, change by change, and its progress told', async () => {
    const device = await Device.start(fresh());
    await device.carrier.act(say('c'));
    const taken = device.carrier.take(five());
    const saved = device.carrier.act(say('x')); // in between, not after it
    expect(await taken).toEqual({ ok: { brought: 4, not_brought: 0 } });
    expect(await saved).toHaveProperty('ok');
    expect(await device.texts()).toEqual(['a', 'b', 'c', 'd', 'e', 'x']);
    expect(steps(device)).toEqual([
      [2, 5],
      [4, 5],
      [4, 5],
      [5, 5],
    ]);
    expect((await rows(device.disk)).queue.sort()).toEqual(['a', 'b', 'c', 'd', 'e', 'x']);
    await device.pass(1_000);
    expect(device.sent).toHaveLength(1); // all of it at once
    expect(device.state?.unsent).toBe(0);
  });

  it('that came already changes nothing', async () => {
    const device = await Device.start(fresh());
    await device.carrier.take(five());
    const before = await rows(device.disk);
    expect(await device.carrier.take(five())).toEqual({ ok: { brought: 0, not_brought: 0 } });
    expect(await rows(device.disk)).toEqual(before);
  });

  it('is refused when it is none, or too large to be read', async () => {
    const device = await Device.start(fresh());
    expect(await device.carrier.take(new Blob(['{}']))).toHaveProperty('refusal.code', 'not_an_export');
    const large = { size: 2 ** 30, text: () => Promise.reject(new Error('read')) };
    expect(await device.carrier.take(large)).toHaveProperty('refusal.code', 'file_too_large');
    const gone = { size: 1, text: () => Promise.reject(new Error('the file is gone')) };
    expect(await device.carrier.take(gone)).toEqual({ fault: 'the file is gone' });
    expect(await device.carrier.take(file('a'))).toHaveProperty('ok'); // and the next has its turn
  });

  it('goes on from what is here when another tab is quicker, or the core began anew', async () => {
    const journal = fresh();
    const [device, other] = [await Device.start(journal), await Device.start(journal)];
    await other.carrier.act(say('b'));
    expect(await device.carrier.take(five())).toEqual({ ok: { brought: 4, not_brought: 0 } });
    expect(await device.texts()).toEqual(['a', 'b', 'c', 'd', 'e']);

    device.core.fells.add('side');
    const taken = device.carrier.take(file('f', 'g', 'h', 'i'));
    await expect.poll(async () => (await rows(device.disk)).queue.length).toBeGreaterThan(6);
    await device.carrier.ask({ q: 'side' });
    await device.carrier.ask({ q: 'week' });
    expect(await taken).toEqual({ ok: { brought: 4, not_brought: 0 } });
    expect((await device.texts()).filter((text) => text >= 'f')).toEqual(['f', 'g', 'h', 'i']);
  });

  for (const fault of faults) {
    it(`is brought whole the second time when the first was broken off: ${fault}`, async () => {
      for (let point = 0, fired = true; fired && point < 20; point++) {
        const device = await Device.start(fresh());
        const first = await withFault(point, fault, () => device.carrier.take(five()));
        fired = first.fired;
        if (fired && fault !== 'silent commit') {
          expect(first.result).toHaveProperty('fault');
          expect((await rows(device.disk)).queue.length).toBeLessThan(5);
        }
        expect(await device.carrier.take(five())).toHaveProperty('ok');
        expect((await rows(device.disk)).queue.sort()).toEqual(['a', 'b', 'c', 'd', 'e']);
        expect(point > 0 || fired).toBe(true);
      }
    });
  }

  it('is brought no further by a tab that was closed, and whole by the next', async () => {
    const journal = fresh();
    const device = await Device.start(journal);
    const settle = device.core.settle.bind(device.core);
    device.core.settle = (no, outcome) => {
      device.carrier.close(); // right after the first change
      return settle(no, outcome);
    };
    expect(await device.carrier.take(five())).toEqual({ fault: 'carrier: closed' });
    expect((await rows(device.disk)).queue.sort()).toEqual(['a', 'b']);
    const next = await Device.start(journal);
    expect(await next.carrier.take(five())).toHaveProperty('ok');
    expect(await next.texts()).toEqual(['a', 'b', 'c', 'd', 'e']);
  });
});

describe('what is called synced', () => {
  const refusals = [
    [503, 'busy'],
    [507, 'no_space'],
    [500, 'internal'],
  ] as const;
  const said = (status: number, code: string): Heard => ({
    status,
    body: JSON.stringify({ code }),
    retryAfterMs: null,
  });
  const again = { go: 'wait', ms: 2_000 } as const;

  it('is not what an earlier start of the app heard', async () => {
    const journal = fresh();
    const before = await Device.start(journal);
    await before.pass(1);
    expect(before.state).toMatchObject({ state: 'synced' });
    before.carrier.close();
    const device = await Device.start(journal);
    expect(device.state).toMatchObject({ state: 'asking', last_ms: before.state?.last_ms });
    await device.pass(1);
    expect(device.state).toMatchObject({ state: 'synced', code: null });
  });

  it.each(refusals)('is nothing that answers %i %s, before the first answer or after it', async (status, code) => {
    const device = await Device.start(fresh());
    device.answers = Array.from({ length: 9 }, () => said(status, code));
    device.core.nexts.push(...Array(9).fill(again));
    await device.pass(10_000);
    expect(device.sent.length).toBeGreaterThan(3);
    expect(device.state).toMatchObject({ state: 'catching_up', code, online: true, last_ms: null }); // a new device

    device.answers = [];
    device.core.nexts.length = 0;
    await device.pass(10_000);
    const last = device.state?.last_ms;
    expect(device.state).toMatchObject({ state: 'synced', code: null });
    device.answers = [said(status, code)];
    device.core.nexts.push(again);
    device.poke();
    await device.pass(1_000);
    expect(device.state).toMatchObject({ state: 'asking', code, last_ms: last });
  });

  it('is not what somebody else answers with 200 and JSON', async () => {
    const device = await Device.start(fresh());
    device.answers = Array.from({ length: 9 }, () => ({ status: 200, body: foreign, retryAfterMs: null }));
    device.core.nexts.push(...Array(9).fill(again));
    await device.pass(10_000);
    expect(device.state).toMatchObject({ online: false, last_ms: null, state: 'catching_up' });
    expect(device.streams).toBe(0);
    expect(await device.disk.view('last_ms')).toBeUndefined();
    device.carrier.close();
  });

  it('is not a device with a row that cannot be read, and it says so before any answer', async () => {
    const device = await Device.make(fresh());
    device.core.unreadable = 2;
    await device.carrier.start();
    expect(device.state).toMatchObject({ state: 'unsent', unsent: 2, unreadable: 2 });
    await device.pass(1);
    expect(device.state).toMatchObject({ state: 'unsent', unsent: 2, unreadable: 2 });
  });
});

describe('a journal its server forgot', () => {
  const file = (...ids: string[]) => new Blob([JSON.stringify(ids.map((id) => ({ id, text: id })))]);

  it('is joined in one change, and again when another tab was quicker', async () => {
    const journal = fresh();
    const [device, other] = [await Device.start(journal), await Device.start(journal)];
    await other.carrier.act(say('x'));
    expect(await device.carrier.take(file('a', 'b'), true)).toEqual({ ok: { brought: 2, not_brought: 0 } });
    expect(device.core.settled).toEqual(['raced', 'done']);
    expect(await rows(device.disk)).toMatchObject({ rev: 2, queue: ['x'], copy: ['a', 'b'] });
    expect(await device.carrier.take(file('a', 'b'), true)).toEqual({ ok: { brought: 0, not_brought: 0 } });
    expect(await device.carrier.take(new Blob(['{}']), true)).toHaveProperty('refusal.code', 'not_an_export');
  });

  for (const fault of faults) {
    it(`is here whole or not at all: ${fault}`, async () => {
      for (let point = 0, fired = true; fired && point < 8; point++) {
        const device = await Device.start(fresh());
        ({ fired } = await withFault(point, fault, () => device.carrier.take(file('a', 'b'), true)));
        expect([0, 2]).toContain((await rows(device.disk)).copy.length);
        expect(await device.carrier.take(file('a', 'b'), true)).toHaveProperty('ok');
        expect((await rows(device.disk)).copy).toEqual(['a', 'b']);
        expect(point > 0 || fired).toBe(true);
      }
    });
  }
});

describe('a device that signed out', () => {
  it('keeps what is written, and sends nothing whoever asks', async () => {
    const device = await Device.make(fresh(), true, true);
    await device.carrier.start();
    await device.carrier.act(say('a'));
    device.carrier.hint('retry');
    device.carrier.hint('visible');
    await device.pass(10 * 60_000);
    expect(device.sent).toEqual([]);
    expect(device.streams).toBe(0);
    expect(device.state).toMatchObject({ state: 'stopped', code: 'signed_out', unsent: 1 });
  });
});

describe('two tabs on one disk', () => {
  it('the second change of the same revision is raced, read again, and made again', async () => {
    const journal = fresh();
    const [here, there] = [await Device.start(journal), await Device.start(journal)];
    expect(await here.carrier.act(say('a'))).toHaveProperty('ok');
    expect(await there.carrier.act(say('b'))).toHaveProperty('ok');
    expect(there.core.settled).toEqual(['raced', 'done']);
    expect(await rows(there.disk)).toEqual({ rev: 2, last: 'b', queue: ['a', 'b'], copy: [] });
    expect(await there.texts()).toEqual(['a', 'b']);
  });

  it('an answer that comes late is thrown away and asked for again', async () => {
    const journal = fresh();
    const [here, there] = [await Device.start(journal), await Device.start(journal)];
    await here.carrier.act(say('a'));
    await there.carrier.act(say('b'));
    await here.pass(1_000); // the core here has not seen b
    expect(here.core.settled).toContain('raced');
    expect(await rows(here.disk)).toMatchObject({ queue: [], copy: ['a', 'b'] });
  });

  it('a robbed tab writes nothing more', async () => {
    const device = await Device.start(fresh());
    await device.carrier.act(say('a'));
    device.carrier.close();
    expect(await device.carrier.act(say('b'))).toHaveProperty('fault');
    expect((await rows(device.disk)).queue).toEqual(['a']);
    expect(device.streams).toBe(0);
    expect(device.timers).toHaveLength(0);
  });
});

describe('the exchange', () => {
  it('starts one second after a save and sends once', async () => {
    const device = await Device.start(fresh());
    await device.pass(10);
    const opened = device.sent.length;
    expect(opened).toBe(1);
    await device.carrier.act(say('a'));
    await device.pass(999);
    expect(device.sent.length).toBe(opened);
    await device.pass(1);
    expect(device.sent.length).toBe(opened + 1);
    expect(device.state).toMatchObject({ state: 'synced', unsent: 0, online: true, last_ms: device.now });
  });

  it('comes round every five minutes, and at once when poked, seen or online', async () => {
    const device = await Device.start(fresh());
    await device.pass(5 * 60_000);
    expect(device.sent.length).toBe(2);
    device.poke();
    await device.pass(1);
    expect(device.sent.length).toBe(3);
    device.carrier.hint('visible');
    await device.pass(1);
    device.carrier.hint('online');
    await device.pass(1);
    expect(device.sent.length).toBe(5);
    expect(device.streams).toBe(1); // each new stream closes the one before
  });

  it('asks again while the core says so', async () => {
    const device = await Device.start(fresh());
    device.core.nexts.push({ go: 'again' }, { go: 'again' }, { go: 'idle' });
    await device.pass(1);
    expect(device.sent.length).toBe(3);
    expect(device.news).toContainEqual(
      expect.objectContaining({ state: expect.objectContaining({ state: 'catching_up' }) }),
    );
    expect(device.state?.state).toBe('synced');
  });

  it('without an answer is offline, keeps all, and waits as long as the core says', async () => {
    const device = await Device.start(fresh());
    await device.pass(1);
    await device.carrier.act(say('a'));
    device.answers = [null];
    device.core.nexts.push({ go: 'wait', ms: 7_000 });
    await device.pass(1_000);
    expect(device.core.heard.at(-1)).toEqual({ status: 0, body: '' });
    expect(device.state).toMatchObject({ state: 'unsent', unsent: 1, online: false });
    const sent = device.sent.length;
    await device.pass(6_999);
    expect(device.sent.length).toBe(sent);
    await device.pass(1);
    expect(device.sent.length).toBe(sent + 1);
    expect(device.sent.at(-1)).toBe(device.sent.at(-2)); // the same again
    expect(device.state).toMatchObject({ state: 'synced', online: true });
  });

  it('keeps quiet as long as a busy server asks, whatever happens here', async () => {
    const device = await Device.start(fresh());
    device.answers = [problem(503, 60_000)];
    device.core.nexts.push({ go: 'wait', ms: 2_000 });
    await device.pass(1);
    expect(device.sent.length).toBe(1);
    await device.carrier.act(say('a'));
    device.carrier.hint('visible');
    await device.pass(59_000);
    expect(device.sent.length).toBe(1);
    await device.pass(2_000);
    expect(device.sent.length).toBe(2);
  });

  it('stops when the core says stop: nothing is sent until the person tries again', async () => {
    const device = await Device.start(fresh());
    device.answers = [problem(403)];
    device.core.nexts.push({ go: 'stop', code: 'revoked' });
    await device.pass(1);
    expect(device.state).toMatchObject({ state: 'stopped', code: 'revoked' });
    expect(device.streams).toBe(0);
    expect(await device.carrier.act(say('a'))).toHaveProperty('ok'); // writing goes on
    device.carrier.hint('visible');
    await device.pass(10 * 60_000);
    expect(device.sent.length).toBe(1);
    expect(device.state).toMatchObject({ state: 'stopped', unsent: 1 });
    device.carrier.hint('retry');
    await device.pass(1);
    expect(device.sent.length).toBe(2);
    expect(device.state).toMatchObject({ state: 'synced', unsent: 0, code: null });
  });

  it('stops for good at a journal that was erased, and keeps what is here', async () => {
    const device = await Device.start(fresh());
    await device.carrier.act(say('a'));
    device.core.nexts.push({ go: 'stop', code: 'erased' });
    device.answers.push(problem(410));
    await device.pass(1_000);
    expect(device.state).toMatchObject({ state: 'stopped', code: 'erased', unsent: 1 });
    const asked = device.sent.length;
    device.carrier.hint('visible');
    device.carrier.hint('online');
    await device.pass(3_600_000);
    expect(device.sent).toHaveLength(asked);
    expect(device.streams).toBe(0);
    expect(await device.texts()).toEqual(['a']);
  });

  it('opens the stream of pokes with the first answer, and again when it was lost', async () => {
    const device = await Device.start(fresh());
    expect(device.streams).toBe(0);
    await device.pass(1);
    expect([device.streams, device.opened]).toEqual([1, 1]);
    for (const [wait, opened] of [
      [2_000, 2],
      [4_000, 3],
    ] as const) {
      device.lost();
      await device.pass(wait - 1);
      expect(device.streams).toBe(0);
      await device.pass(1);
      expect([device.streams, device.opened]).toEqual([1, opened]);
    }
    device.poke();
    await device.pass(1);
    device.lost();
    await device.pass(2_000);
    expect(device.opened).toBe(4);
  });

  it('closes the stream while the server does not answer', async () => {
    const device = await Device.start(fresh());
    await device.pass(1);
    device.answers = [null];
    device.core.nexts.push({ go: 'wait', ms: 1_000 });
    device.carrier.hint('online');
    await device.pass(1);
    expect(device.streams).toBe(0);
    await device.pass(1_000);
    expect(device.streams).toBe(1);
  });

  it('is not there before the device was admitted by a server', async () => {
    const device = await Device.start(fresh(), false);
    await device.carrier.act(say('a'));
    device.carrier.hint('visible');
    await device.pass(10 * 60_000);
    expect(device.sent).toEqual([]);
    expect(device.streams).toBe(0);
    expect(device.state).toMatchObject({ state: 'local', unsent: 1 });
  });

  it('shows from the start what was not sent last time', async () => {
    const journal = fresh();
    const before = await Device.start(journal, false);
    await before.carrier.act(say('a'));
    before.carrier.close();
    const device = await Device.start(journal);
    expect(device.state).toMatchObject({ state: 'unsent', unsent: 1 });
  });

  it('does not hold up a save while an answer is on its way', async () => {
    const device = await Device.start(fresh());
    await device.pass(1);
    let arrive: (heard: Heard) => void = () => undefined;
    const slow = new Promise<Heard>((resolve) => {
      arrive = resolve;
    });
    device.answers.push(slow as never);
    device.carrier.hint('visible');
    await device.pass(1);
    expect(await device.carrier.act(say('a'))).toHaveProperty('ok');
    arrive(ok());
    await device.rest();
    expect(await device.texts()).toEqual(['a']);
  });
});

describe('the core', () => {
  it('is booted anew after it died, and reads the disk', async () => {
    const device = await Device.start(fresh());
    await device.carrier.act(say('a'));
    device.core.dead = true;
    await device.carrier.ask({ q: 'week' });
    device.core.dead = false;
    expect(await device.texts()).toEqual(['a']);
    expect(device.boots + device.core.starts).toBeGreaterThan(2);
  });

  it('that fell over a question begins anew for the next, but not for ever', async () => {
    const device = await Device.start(fresh());
    await device.carrier.act(say('a'));
    device.core.fells.add('side');
    expect(await device.carrier.ask({ q: 'side' })).toEqual({ fault: 'core: index out of range' });
    expect(await device.texts()).toEqual(['a']);
    expect(device.core.starts).toBe(2);
    for (let i = 0; i < 5; i++) {
      await device.carrier.ask({ q: 'side' });
      expect(await device.carrier.ask({ q: 'week' })).toEqual({ fault: 'core: not started' });
    }
    expect(device.core.starts).toBe(2);
    expect(await device.carrier.act(say('b'))).toHaveProperty('ok'); // a save always mends it
    expect(await device.texts()).toEqual(['a', 'b']);
  });

  it('is loaded settings first, pours last and newest first, and can be asked when the newest are in', async () => {
    const disk = await JournalDb.open(fresh(), () => undefined);
    const ids = Array.from({ length: 700 }, (_, i) => `P${String(i).padStart(4, '0')}`);
    const put = [
      ...ids.map((id) => ['copy', ['pour', id], { id }] as const),
      ['copy', ['line', 'L1'], { id: 'L1' }] as const,
      ['copy', ['rating', 'R1'], { id: 'R1' }] as const,
      ['copy', ['set', 'set.country'], { id: 'set.country' }] as const,
      ['seen', 'run', '[3,"p1"]'] as const,
      ['queue', 7, { id: 'q' }] as const,
    ];
    expect(await disk.apply({ no: 1, rev: 0, put, del: [], strict: false })).toBe('done');
    const calls: { store: string; rows: Row[]; newest: boolean }[] = [];
    await disk.load((store, rows, newest) => void calls.push({ store, rows, newest }));
    expect(calls.map(({ store, rows, newest }) => `${store} ${rows.length}${newest ? ' newest' : ''}`)).toEqual([
      'meta 1',
      'queue 1',
      'seen 1',
      'copy 1',
      'copy 1',
      'copy 1',
      'copy 300 newest',
      'copy 300',
      'copy 100',
    ]);
    const copy = calls.flatMap(({ store, rows }) => (store === 'copy' ? rows : []));
    expect(copy.slice(0, 3).map(([key]) => (key as string[])[0])).toEqual(['set', 'line', 'rating']);
    expect(copy.slice(3).map(([key]) => (key as string[])[1])).toEqual([...ids].reverse());
    for (const [key, value] of copy) expect((value as Entry).id).toBe((key as string[])[1]);
    expect(calls[1]?.rows).toEqual([[7, { id: 'q' }]]);
    disk.close();
  });

  it('answers questions while the older pours still load', async () => {
    const journal = fresh();
    const disk = await JournalDb.open(journal, () => undefined);
    const put = Array.from({ length: 400 }, (_, i) => {
      const id = `P${String(i).padStart(4, '0')}`;
      return ['copy', ['pour', id], { id, text: id }] as const;
    });
    await disk.apply({ no: 1, rev: 0, put, del: [], strict: false });
    disk.close();
    const device = await Device.make(journal);
    void device.carrier.start();
    const early = await device.texts();
    expect(early).toHaveLength(300);
    expect(early[0]).toBe('P0100');
    expect(await device.carrier.act(say('new'))).toHaveProperty('ok'); // a save waits until all is there
    expect(await device.texts()).toHaveLength(401);
    expect(device.news.filter((n) => n.news === 'ready')).toHaveLength(2);
  });
});
