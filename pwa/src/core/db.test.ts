import 'fake-indexeddb/auto';
import { expect, it } from 'vitest';
import type { Paired } from '../shared/messages.ts';
import { DeviceDb, eraseAll, JournalDb } from './db.ts';

const paired: Paired = { account: 'Bar', device: '01', name: 'bar phone', role: 'owner', has_password: false };
const names = async () => (await indexedDB.databases()).map(({ name }) => name).sort();

it('a signed-out journal says so until this device is let in again', async () => {
  const device = await DeviceDb.open();
  await device.openJournal(() => 'own');
  await device.left('told'); // never paired: there is nothing to sign out of
  expect(await device.openJournal(() => 'never')).toEqual({ id: 'own', paired: null });
  await device.admitted('theirs', paired);
  await device.left('untold');
  expect(await device.openJournal(() => 'never')).toEqual({ id: 'theirs', paired: { ...paired, out: 'untold' } });
  await device.admitted('theirs', paired);
  expect(await device.openJournal(() => 'never')).toEqual({ id: 'theirs', paired });
  expect(await device.all()).toEqual(['own', 'theirs']);
  device.close();
});

it('erasing leaves no database, also none that only lies there, and none of others is touched', async () => {
  const device = await DeviceDb.open();
  const open = await JournalDb.open('theirs', () => undefined);
  (await JournalDb.open('forgotten', () => undefined)).close();
  (
    await new Promise<IDBDatabase>((resolve) => {
      const request = indexedDB.open('another');
      request.onsuccess = () => resolve(request.result);
    })
  ).close();
  expect(await names()).toEqual(['another', 'device', 'journal.forgotten', 'journal.theirs']);
  open.close();
  const journals = await device.all();
  device.close();
  await eraseAll(journals);
  expect(await names()).toEqual(['another']);
  const again = await DeviceDb.open();
  expect(await again.openJournal(() => 'new')).toEqual({ id: 'new', paired: null });
  again.close();
});

it('a window that will not let go is named, and a database it holds is gone once it does', async () => {
  const held = await new Promise<IDBDatabase>((resolve) => {
    const request = indexedDB.open('journal.held');
    request.onsuccess = () => resolve(request.result); // without an ear for whoever wants to delete it
  });
  await expect(eraseAll(['held'], 20)).rejects.toThrow('journal.held is held open by another window');
  held.close();
  await expect.poll(names).not.toContain('journal.held');
});

it('more is known of an account later, also on rows from before it was said', async () => {
  const device = await DeviceDb.open();
  const { role, has_password, ...old } = paired;
  await device.admitted('theirs', old as Paired);
  expect(await device.openJournal(() => 'never')).toEqual({ id: 'theirs', paired: { ...old, role, has_password } });
  await device.left('told');
  await device.known('theirs', { ...paired, role: 'member', has_password: true });
  await device.known('another', paired); // not of this device
  expect(await device.openJournal(() => 'never')).toEqual({
    id: 'theirs',
    paired: { ...paired, role: 'member', has_password: true, out: 'told' },
  });
  expect(await device.all()).not.toContain('another');
  device.close();
  await eraseAll(['theirs']);
});

it('a database that is deleted is let go of, and nobody is told to reload', async () => {
  let outdated = 0;
  await JournalDb.open('held', () => outdated++);
  await eraseAll(['held']);
  expect(outdated).toBe(0);
  await JournalDb.open('newer', () => outdated++);
  const request = indexedDB.open('journal.newer', 99);
  await expect.poll(() => request.readyState).toBe('done');
  request.result.close();
  expect(outdated).toBe(1);
  await eraseAll(['newer']);
});
