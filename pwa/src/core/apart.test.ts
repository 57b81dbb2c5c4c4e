import 'fake-indexeddb/auto';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { Brought, FileText, Paired, Reply } from '../shared/messages.ts';
import { bringAlong, countApart, keepApart, tidyApart } from './apart.ts';
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
    return bringAlong({
      device: this.disk,
      locks: locks ? this.browser.locks('me') : null,
      file: async (id, disk) => ({ ok: new Blob([`${id} with ${await disk.unsent()}`]) }),
      take: async (file: FileText) => {
        const text = await file.text();
        this.took.push(text);
        return this.answer(text);
      },
    });
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
    expect(await countApart(device.disk)).toEqual({ apart: 3, undecided: 3, elsewhere: 0 });
    await keepApart(device.disk);
    expect(await countApart(device.disk)).toEqual({ apart: 3, undecided: 0, elsewhere: 0 });
  });

  it('are brought along, and then their journal is gone', async () => {
    expect(await device.bring()).toEqual({ ok: { brought: 2, not_brought: 0 } });
    expect(device.took).toEqual(['own with 3']);
    expect(await countApart(device.disk)).toEqual({ apart: 0, undecided: 0, elsewhere: 0 });
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
    expect(await countApart(device.disk)).toEqual({ apart: 3, undecided: 3, elsewhere: 0 });
    device.answer = () => ({ ok: { brought: 1, not_brought: 0 } });
    expect(await device.bring()).toEqual({ ok: { brought: 1, not_brought: 0 } });
    expect(await device.disk.all()).toEqual(['theirs']);
  });

  it('stay, undecided, when the tab ends on the way', async () => {
    device.answer = () => {
      throw new Error('the tab was closed');
    };
    await expect(device.bring()).rejects.toThrow('the tab was closed');
    expect(await countApart(device.disk)).toEqual({ apart: 3, undecided: 3, elsewhere: 0 });
  });

  it('of which something could not be brought are kept apart, all of them', async () => {
    device.answer = () => ({ ok: { brought: 2, not_brought: 1 } });
    expect(await device.bring()).toEqual({ ok: { brought: 2, not_brought: 1 } });
    expect(await countApart(device.disk)).toEqual({ apart: 3, undecided: 0, elsewhere: 0 });
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
    expect(await countApart(device.disk)).toEqual({ apart: 0, undecided: 0, elsewhere: 0 });
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
    expect(await countApart(device.disk)).toEqual({ apart: 3, undecided: 3, elsewhere: 1 });
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
    expect(await countApart(device.disk)).toEqual({ apart: 0, undecided: 0, elsewhere: 0 });
  });
});
