import { beforeEach, expect, it, vi } from 'vitest';

const api = vi.fn();
vi.mock('./core-client.ts', () => ({ api }));

const store = new Map<string, string>();
vi.stubGlobal('localStorage', {
  getItem: (key: string) => store.get(key) ?? null,
  setItem: (key: string, value: string) => store.set(key, value),
});

const shut = (id: string) => ({ id, name: id, created_ms: 1, ended_ms: 9, end: 'reused' });
const list = (...devices: object[]) => ({
  status: 200,
  body: { devices: [{ id: 'me', name: 'me', created_ms: 2, this: true }, ...devices] },
});

/** The app, opened anew. */
async function opened() {
  vi.resetModules();
  const state = await import('./state.ts');
  const it = await import('./reused.ts');
  it.watchReused();
  return { ...state, ...it };
}
const paired = { account: 'Bar', device: 'me', name: 'me', role: 'owner' as const, has_password: true };
const open = { id: '0', paired, apart: 0, undecided: 0 };
const settle = () => new Promise((resolve) => setTimeout(resolve));

beforeEach(() => {
  store.clear();
  api.mockReset();
});

it('is told once, and after being put away only of a device shut later', async () => {
  api.mockResolvedValue(list(shut('a')));
  const first = await opened();
  first.journal.value = open;
  expect(api).not.toHaveBeenCalled();
  first.ready.value = true;
  await settle();
  expect(first.reused.value).toEqual(['a']);
  first.sync.value = { ...first.sync.value, online: false };
  first.sync.value = { ...first.sync.value, online: true };
  await settle();
  expect(api).toHaveBeenCalledTimes(1);
  first.putAway();
  expect(first.reused.value).toEqual([]);

  api.mockResolvedValue(list(shut('a'), shut('b')));
  const second = await opened();
  second.ready.value = true;
  second.journal.value = open;
  await settle();
  expect(second.reused.value).toEqual(['b']);
});

it('asks nothing offline, unpaired or signed out', async () => {
  const app = await opened();
  app.ready.value = true;
  app.journal.value = { ...open, paired: null };
  app.journal.value = { ...open, paired: { ...paired, out: 'told' } };
  app.sync.value = { ...app.sync.value, online: false };
  app.journal.value = open;
  await settle();
  expect(api).not.toHaveBeenCalled();
  api.mockResolvedValue({ status: 0, body: null });
  app.sync.value = { ...app.sync.value, online: true };
  await settle();
  expect(api).toHaveBeenCalledTimes(1);
  expect(app.reused.value).toEqual([]);
});

it('without storage is told again', async () => {
  store.set('reused-told', '{');
  api.mockResolvedValue(list(shut('a')));
  const app = await opened();
  app.ready.value = true;
  app.journal.value = open;
  await settle();
  expect(app.reused.value).toEqual(['a']);
});
