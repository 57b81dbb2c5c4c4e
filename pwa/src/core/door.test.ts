import 'fake-indexeddb/auto';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { Door, Paired } from '../shared/messages.ts';
import { DeviceDb, eraseAll } from './db.ts';
import { claim, type DoorEnv, enter, me, pair } from './door.ts';
import type { Asked } from './http.ts';

const own = '11'.repeat(16);
const theirs = '22'.repeat(16);
const pass = (journal: string, account: object = { name: 'Bar', role: 'member', has_password: true }) => ({
  journal,
  account,
  device: { id: '01', name: 'bar phone' },
});
const bar: Paired = { account: 'Bar', device: '01', name: 'bar phone', role: 'member', has_password: true };

/** A device at the door, and a server that answers what it is told. */
class Visitor {
  readonly asked: Asked[] = [];
  answers: [status: number, body: unknown][] = [];
  opened = 0;
  told = 0;
  disk!: DeviceDb;

  async env(): Promise<DoorEnv> {
    const kept = await this.disk.openJournal(() => own);
    return {
      ask: async (asked) => {
        this.asked.push(asked);
        const [status, body] = this.answers.shift() ?? [0, null];
        return status === 0 ? null : { status, body: JSON.stringify(body), retryAfterMs: null };
      },
      device: this.disk,
      journal: { id: kept.id, paired: kept.paired, apart: 0, undecided: 0 },
      letIn: async () => void this.opened++,
      known: async () => void this.told++,
    };
  }

  get sent(): unknown {
    return JSON.parse(this.asked.at(-1)?.body ?? 'null');
  }

  open() {
    return this.disk.openJournal(() => 'never');
  }
}

let visitor: Visitor;
beforeEach(async () => {
  visitor = new Visitor();
  visitor.disk = await DeviceDb.open();
});
afterEach(async () => {
  visitor.disk.close();
  await eraseAll([]);
});

describe('coming in', () => {
  it.each(['setup', 'sign-in', 'join'] as Door[])('by %s opens the journal of the account', async (path) => {
    visitor.answers.push([200, pass(theirs)]);
    const body = { name: 'Bar', password: 'a long pass phrase' };
    expect(await enter(await visitor.env(), path, body)).toEqual({ status: 200, body: pass(theirs) });
    expect(visitor.asked[0]).toMatchObject({ method: 'POST', path: `/api/v1/auth/${path}` });
    expect(visitor.sent).toEqual({ ...body, journal: own }); // which the account may take over
    expect(visitor.opened).toBe(1);
    expect(await visitor.open()).toEqual({ id: theirs, paired: bar });
    expect(await visitor.disk.apart()).toEqual([{ id: own, decided: false }]);
  });

  it('makes the journal begun here the account of its own', async () => {
    visitor.answers.push([200, pass(own)]);
    await enter(await visitor.env(), 'setup', { key: 'k' });
    expect(await visitor.open()).toEqual({ id: own, paired: bar });
    expect(await visitor.disk.apart()).toEqual([]);
  });

  it.each([
    [401, { code: 'wrong' }],
    [410, { code: 'erased' }],
    [429, { code: 'too_many_tries' }],
    [0, null],
    [200, { journal: theirs }],
    [200, { ...pass('not a journal') }],
    [200, { ...pass(theirs), device: { id: 1, name: 'x' } }],
    [200, null],
  ])('is nothing of the kind at %i %j', async (status, body) => {
    visitor.answers.push([status, body]);
    expect(await enter(await visitor.env(), 'sign-in', {})).toEqual({ status, body });
    expect(visitor.asked).toHaveLength(1);
    expect(visitor.opened).toBe(0);
    expect(await visitor.open()).toEqual({ id: own, paired: null });
  });

  it('again to the same account goes on in its journal; to another it offers that journal to nobody', async () => {
    visitor.answers.push([200, pass(theirs)]);
    await pair(await visitor.env(), 'code', 'bar phone');
    await visitor.disk.left('told');
    visitor.answers.push([200, pass(theirs)]);
    await enter(await visitor.env(), 'sign-in', { name: 'Bar' });
    expect(visitor.sent).toEqual({ name: 'Bar' });
    expect(await visitor.open()).toEqual({ id: theirs, paired: bar });

    const third = '33'.repeat(16);
    visitor.answers.push([200, pass(third, { name: 'Kitchen' })]);
    await enter(await visitor.env(), 'sign-in', { name: 'Kitchen' });
    expect(JSON.parse(visitor.asked.at(-2)?.body ?? '')).toEqual({ name: 'Kitchen' });
    expect(visitor.sent).toEqual({ journals: [theirs] }); // whether the server knows it at all
    expect(await visitor.open()).toEqual({
      id: third,
      paired: { ...bar, account: 'Kitchen', role: 'owner', has_password: false },
    });
    expect(await visitor.disk.apart()).toEqual([{ id: own, decided: false }]); // the first account's is not among them
    expect(await visitor.disk.elsewhere()).toEqual([theirs]);
  });

  it('by code may have to wait for a confirmation', async () => {
    visitor.answers.push([202, { number: '42', claim: 'c' }], [202, {}], [200, pass(theirs)]);
    expect(await pair(await visitor.env(), 'code', 'phone')).toEqual({ status: 202, body: { number: '42' } });
    expect(await claim(await visitor.env())).toEqual({ number: '42', answer: { status: 202, body: null } });
    expect(visitor.sent).toEqual({ claim: 'c' });
    expect(await claim(await visitor.env())).toMatchObject({ number: null, answer: { status: 200 } });
    expect(visitor.opened).toBe(1);
    expect(await claim(await visitor.env())).toEqual({ number: null, answer: null });
    expect(visitor.asked).toHaveLength(3);
  });
});

describe('a journal of an account before', () => {
  const kitchen = pass('33'.repeat(16), { name: 'Kitchen' });
  const comeTo = async (...answers: [number, unknown][]) => {
    visitor.answers.push([200, pass(theirs)]);
    await pair(await visitor.env(), 'code', 'bar phone');
    visitor.answers.push([200, kitchen], ...answers);
    await enter(await visitor.env(), 'setup', { key: 'k' });
  };

  it('is asked about when another is opened, before that is shown', async () => {
    await comeTo([200, { unknown: [theirs], erased: [] }]);
    expect(visitor.asked.at(-1)).toMatchObject({ method: 'POST', path: '/api/v1/journals/unknown' });
    expect(visitor.sent).toEqual({ journals: [theirs] }); // never the one that was begun here and never paired
    expect(await visitor.disk.forgotten()).toEqual([{ id: theirs, account: 'Bar', decided: false }]);
    expect((await visitor.open()).id).toBe(kitchen.journal);
    expect(visitor.opened).toBe(2);
  });

  it.each([
    [0, null],
    [200, { unknown: [], erased: [] }],
    [200, { login: 'required' }],
    [200, { unknown: theirs, erased: [] }],
    [404, { code: 'not_found' }],
    [503, { code: 'busy' }],
  ] as [number, unknown][])('is not offered after %i %j', async (status, body) => {
    await comeTo([status, body]);
    expect(await visitor.disk.forgotten()).toEqual([]);
    expect(await visitor.disk.elsewhere()).toEqual([theirs]);
    expect(visitor.opened).toBe(2);
  });

  it('is asked about again with who this device is', async () => {
    await comeTo([200, { unknown: [theirs], erased: [] }]);
    visitor.answers.push([200, kitchen], [200, { unknown: [], erased: [theirs] }]);
    await me(await visitor.env());
    expect(await visitor.disk.forgotten()).toEqual([]);
    expect(await visitor.disk.everything()).toContainEqual({ id: theirs, account: 'Bar', standing: 'erased' });
  });
});

describe('who this device is', () => {
  it('is kept and told when the server says so', async () => {
    visitor.answers.push([200, pass(theirs, { name: 'Bar' })], [200, pass(theirs)]);
    await pair(await visitor.env(), 'code', 'phone');
    expect((await visitor.open()).paired).toMatchObject({ role: 'owner', has_password: false });
    expect(await me(await visitor.env())).toEqual({ status: 200, body: pass(theirs) });
    expect((await visitor.open()).paired).toEqual(bar);
    expect([visitor.told, visitor.opened]).toEqual([1, 1]);
  });

  it('stays as it was when the server does not say', async () => {
    visitor.answers.push([200, pass(theirs)]);
    await pair(await visitor.env(), 'code', 'phone');
    for (const answer of [
      [410, { code: 'erased' }],
      [401, { code: 'signed_out' }],
      [0, null],
    ] as [number, unknown][]) {
      visitor.answers.push(answer);
      expect((await me(await visitor.env())).status).toBe(answer[0]);
    }
    expect((await visitor.open()).paired).toEqual(bar);
    expect(visitor.told).toBe(0);
    expect(visitor.asked).toHaveLength(4);
  });
});
