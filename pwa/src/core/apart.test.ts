import 'fake-indexeddb/auto';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { Brought, FileText, Paired, Reply } from '../shared/messages.ts';
import { type ApartEnv, bringAlong, bringForgotten, countApart, keepApart, tidyApart } from './apart.ts';
import { DeviceDb, eraseAll, JournalDb } from './db.ts';
import { FakeBrowser } from './testing/fake-browser.ts';

const as = (account: string): Paired => ({
  account,
  device: '01',
  name: 'bar phone',
  role: 'owner',
  has_password: true,
});
const databases = async () => (await indexedDB.databases()).map(({ name }) => name);

/** A device that began the journal `own`, wrote so much in it, and was then let in to `theirs`. */
class Device {
  readonly browser = new FakeBrowser();
  readonly took: string[] = [];
  answer: (text: string) => Reply<Brought> = () => ({ ok: { brought: 2, not_brought: 0 } });
  disk!: DeviceDb;

  static async with(written: number): Promise<Device> {
    const device = new Device();
    device.disk = await DeviceDb.open();
    await device.disk.openJournal(() => 'own');
    await device.write('own', written);
    await device.disk.admitted('theirs', as('Bar'));
    await device.write('theirs', 0);
    return device;
  }

  async write(journal: string, actions: number, rev = 0): Promise<void> {
    const disk = await JournalDb.open(journal, () => undefined);
    const put = Array.from({ length: actions }, (_, i) => ['queue', 100 * rev + i, `${journal} ${i}`] as const);
    expect(await disk.apply({ no: 1, rev, put, del: [], strict: true })).toBe('done');
    disk.close();
  }

  bring(locks = true): Promise<Reply<Brought>> {
    return bringAlong(this.env(locks));
  }

  bringForgotten(id: string): Promise<Reply<Brought>> {
    return bringForgotten(this.env(), id);
  }

  private env(locks = true): ApartEnv {
    return {
      device: this.disk,
      locks: locks ? this.browser.locks('me') : null,
      file: async (id, disk) => ({ ok: new Blob([`${id} with ${await disk.unsent()}`]) }),
      take: async (file: FileText, whole) => {
        const text = await file.text();
        this.took.push(whole ? `${text}, whole` : text);
        return this.answer(text);
      },
    };
  }
}

let device: Device;
beforeEach(async () => {
  device = await Device.with(3);
});
afterEach(async () => {
  const journals = await device.disk.all();
  device.disk.close();
  await eraseAll(journals);
});

describe('entries written before', () => {
  it('are counted until the person decides', async () => {
    expect(await countApart(device.disk)).toEqual({ apart: 3, undecided: 3, elsewhere: 0, forgotten: [] });
    await keepApart(device.disk);
    expect(await countApart(device.disk)).toEqual({ apart: 3, undecided: 0, elsewhere: 0, forgotten: [] });
  });

  it('are brought along, and then their journal is gone', async () => {
    expect(await device.bring()).toEqual({ ok: { brought: 2, not_brought: 0 } });
    expect(device.took).toEqual(['own with 3']);
    expect(await countApart(device.disk)).toEqual({ apart: 0, undecided: 0, elsewhere: 0, forgotten: [] });
    expect(await device.disk.all()).toEqual(['theirs']);
    expect(await databases()).not.toContain('journal.own');
    expect(await databases()).toContain('journal.theirs');
    expect(await device.bring()).toEqual({ ok: { brought: 0, not_brought: 0 } });
    expect(device.took).toHaveLength(1);
  });

  it.each([
    ['a fault', { fault: 'not saved: the device could not write it' }],
    ['a refusal', { refusal: { code: 'not_an_export', field: 'file', text: 'no file' } }],
  ] as [string, Reply<Brought>][])('stay, undecided, after %s, and may be brought again', async (_what, answer) => {
    device.answer = () => answer;
    expect(await device.bring()).toEqual(answer);
    expect(await countApart(device.disk)).toEqual({ apart: 3, undecided: 3, elsewhere: 0, forgotten: [] });
    device.answer = () => ({ ok: { brought: 1, not_brought: 0 } });
    expect(await device.bring()).toEqual({ ok: { brought: 1, not_brought: 0 } });
    expect(await device.disk.all()).toEqual(['theirs']);
  });

  it('stay, undecided, when the tab ends on the way', async () => {
    device.answer = () => {
      throw new Error('the tab was closed');
    };
    await expect(device.bring()).rejects.toThrow('the tab was closed');
    expect(await countApart(device.disk)).toEqual({ apart: 3, undecided: 3, elsewhere: 0, forgotten: [] });
  });

  it('of which something could not be brought are kept apart, all of them', async () => {
    device.answer = () => ({ ok: { brought: 2, not_brought: 1 } });
    expect(await device.bring()).toEqual({ ok: { brought: 2, not_brought: 1 } });
    expect(await countApart(device.disk)).toEqual({ apart: 3, undecided: 0, elsewhere: 0, forgotten: [] });
    expect(await databases()).toContain('journal.own');
  });

  it('kept apart can be brought along after all', async () => {
    await keepApart(device.disk);
    expect(await device.bring()).toEqual({ ok: { brought: 2, not_brought: 0 } });
    expect(device.took).toEqual(['own with 3']);
  });

  it('are brought while no other tab writes in their journal', async () => {
    let release = () => undefined as void;
    const held = new Promise<void>((resolve) => {
      release = resolve;
    });
    void device.browser.locks('other').request('core.own', {}, () => held);
    const brought = device.bring();
    await device.browser.rest();
    expect(device.took).toEqual([]);
    await device.write('own', 1, 1);
    release();
    expect(await brought).toHaveProperty('ok');
    expect(device.took).toEqual(['own with 4']);
  });

  it('are brought without locks too', async () => {
    expect(await device.bring(false)).toHaveProperty('ok');
    expect(await device.disk.all()).toEqual(['theirs']);
  });
});

describe('a journal in which nothing was written', () => {
  it('goes without a word, once no tab has it open', async () => {
    device.disk.close();
    await eraseAll(['own', 'theirs']);
    device = await Device.with(0);
    expect(await countApart(device.disk)).toEqual({ apart: 0, undecided: 0, elsewhere: 0, forgotten: [] });
    const locks = device.browser.locks('me');
    await tidyApart({ device: device.disk, locks: null });
    expect(await device.disk.all()).toEqual(['own', 'theirs']);
    let release = () => undefined as void;
    void device.browser
      .locks('other')
      .request('core.own', {}, () => new Promise<void>((resolve) => (release = resolve)));
    await device.browser.rest();
    await tidyApart({ device: device.disk, locks });
    expect(await device.disk.all()).toEqual(['own', 'theirs']);
    release();
    await device.browser.rest();
    await tidyApart({ device: device.disk, locks });
    expect(await device.disk.all()).toEqual(['theirs']);
    expect(await databases()).not.toContain('journal.own');
  });

  it('stays when something was written', async () => {
    await tidyApart({ device: device.disk, locks: device.browser.locks('me') });
    expect(await device.disk.all()).toEqual(['own', 'theirs']);
  });
});

describe('another account on the same device', () => {
  it('gets nothing of the first, which goes on where it was when it signs in again', async () => {
    await device.write('theirs', 1, 1);
    await device.disk.admitted('second', as('Kitchen'));
    expect(await countApart(device.disk)).toEqual({ apart: 3, undecided: 3, elsewhere: 1, forgotten: [] });
    expect(await device.bring()).toHaveProperty('ok');
    expect(device.took).toEqual(['own with 3']); // never the first account's
    await tidyApart({ device: device.disk, locks: device.browser.locks('me') });
    await device.disk.drop('theirs'); // not what is dropped this way
    expect(await device.disk.all()).toEqual(['second', 'theirs']);

    await device.disk.admitted('theirs', as('Bar'));
    expect(await device.disk.openJournal(() => 'never')).toEqual({ id: 'theirs', paired: as('Bar') });
    const again = await JournalDb.open('theirs', () => undefined);
    expect(await again.unsent()).toBe(1);
    again.close();
    expect(await countApart(device.disk)).toEqual({ apart: 0, undecided: 0, elsewhere: 0, forgotten: [] });
  });
});

describe('a journal that its server forgot', () => {
  const lost = (decided = false) => [{ id: 'theirs', account: 'Bar', decided }];
  const copied = async (journal: string) => {
    const disk = await JournalDb.open(journal, () => undefined);
    const put = [['copy', ['pour', 'a'], 'a pour that was sent'] as const];
    expect(await disk.apply({ no: 1, rev: 1, put, del: [], strict: true })).toBe('done');
    disk.close();
  };
  beforeEach(async () => {
    await copied('theirs'); // nothing unsent: its copy counts as well
    await device.disk.admitted('second', as('Kitchen'));
  });

  it('is offered only when the server says that it does not know it', async () => {
    expect(await countApart(device.disk)).toMatchObject({ forgotten: [] });
    expect(await device.bringForgotten('theirs')).toEqual({ ok: { brought: 0, not_brought: 0 } });
    expect(device.took).toEqual([]);
    await device.disk.standings(['theirs'], ['theirs'], []);
    expect(await countApart(device.disk)).toMatchObject({ elsewhere: 0, forgotten: lost() });
    await device.disk.standings(['theirs'], [], []); // its account is back
    expect(await countApart(device.disk)).toMatchObject({ forgotten: [] });
    expect(await device.bringForgotten('theirs')).toEqual({ ok: { brought: 0, not_brought: 0 } });
    expect(device.took).toEqual([]);
  });

  it('is joined whole, by itself, and then its database is gone', async () => {
    await device.disk.standings(['theirs'], ['theirs'], []);
    expect(await device.bringForgotten('theirs')).toEqual({ ok: { brought: 2, not_brought: 0 } });
    expect(device.took).toEqual(['theirs with 0, whole']);
    expect(await databases()).not.toContain('journal.theirs');
    expect(await countApart(device.disk)).toMatchObject({ apart: 3, undecided: 3, forgotten: [] });
  });

  it('stays, and is offered on, when it was broken off or not all of it could be read', async () => {
    await device.disk.standings(['theirs'], ['theirs'], []);
    device.answer = () => ({ fault: 'not saved: the device could not write it' });
    expect(await device.bringForgotten('theirs')).toHaveProperty('fault');
    expect(await countApart(device.disk)).toMatchObject({ forgotten: lost() });
    device.answer = () => ({ ok: { brought: 1, not_brought: 1 } });
    expect(await device.bringForgotten('theirs')).toHaveProperty('ok');
    expect(await countApart(device.disk)).toMatchObject({ forgotten: lost(true) });
    expect(await databases()).toContain('journal.theirs');
  });

  it('can be kept apart without a word about the others', async () => {
    await device.disk.standings(['theirs'], ['theirs'], []);
    await keepApart(device.disk, 'theirs');
    expect(await countApart(device.disk)).toMatchObject({ undecided: 3, forgotten: lost(true) });
  });

  it('is never offered once it was deleted for good, whatever a server says later', async () => {
    await device.disk.standings(['theirs'], [], ['theirs']);
    await device.disk.standings(['theirs'], ['theirs'], []);
    expect(await countApart(device.disk)).toMatchObject({ elsewhere: 0, forgotten: [] });
    expect(await device.bringForgotten('theirs')).toEqual({ ok: { brought: 0, not_brought: 0 } });
    expect(await device.disk.everything()).toContainEqual({ id: 'theirs', account: 'Bar', standing: 'erased' });
    await device.disk.drop('theirs');
    expect(await databases()).toContain('journal.theirs');
  });

  it('opens again as it was when its own account comes in again', async () => {
    await device.disk.standings(['theirs'], ['theirs'], []);
    await device.disk.admitted('theirs', as('Bar'));
    await device.disk.admitted('second', as('Kitchen'));
    expect(await countApart(device.disk)).toMatchObject({ forgotten: [] });
  });
});

it('every journal on the device is told of, also one of which only the database is left', async () => {
  await device.disk.admitted('second', as('Kitchen'));
  (await JournalDb.open('orphan', () => undefined)).close();
  expect(await device.disk.everything()).toEqual([
    { id: 'second', account: 'Kitchen', standing: 'open' },
    { id: 'own', account: null, standing: 'apart' },
    { id: 'theirs', account: 'Bar', standing: 'elsewhere' },
    { id: 'orphan', account: null, standing: 'lost' },
  ]);
});
