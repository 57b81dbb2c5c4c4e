import type { ComponentType } from 'preact';
import { Pair } from './pair.tsx';
import { PourSheet } from './rooms/sheet/index.tsx';
import { Tonight } from './rooms/tonight/index.tsx';
import type { RoomName } from './rooms.ts';
import { match, type Params } from './router.ts';
import { fetchLater } from './words.ts';

/** A room is drawn with the named parts of its path: the pour's or the spec's id. */
export type Room = ComponentType<{ params: Params }>;

/** `room`: whose mark is long while the page is shown; '' outside the rooms. Tonight and the pour start with the app, the rest follows. */
interface Place {
  pattern: string;
  room: RoomName | '';
}
export type Route = Place & ({ page: Room } | { load: () => Promise<Room> });

const editor = async () => (await import('./rooms/editor/index.tsx')).SpecEditor;
const swap = async () => (await import('./rooms/specs/swap.tsx')).Swap;
const difference = async () => (await import('./rooms/specs/difference.tsx')).Difference;

const routes: readonly Route[] = [
  { pattern: '/', room: 'tonight', page: Tonight },
  { pattern: '/pour', room: 'tonight', page: PourSheet },
  { pattern: '/pour/log', room: 'tonight', load: async () => (await import('./rooms/sheet/log.tsx')).Log },
  { pattern: '/pour/guess', room: 'tonight', load: async () => (await import('./rooms/sheet/guess.tsx')).Guess },
  { pattern: '/pour/:spec', room: 'tonight', page: PourSheet },
  { pattern: '/journal', room: 'journal', load: async () => (await import('./rooms/journal/index.tsx')).Journal },
  { pattern: '/journal/:pour', room: 'journal', load: async () => (await import('./rooms/journal/pour.tsx')).Pour },
  { pattern: '/specs', room: 'specs', load: async () => (await import('./rooms/specs/index.tsx')).Specs },
  { pattern: '/specs/new', room: 'specs', load: editor },
  { pattern: '/specs/:id', room: 'specs', load: async () => (await import('./rooms/specs/spec.tsx')).Spec },
  { pattern: '/specs/:id/edit', room: 'specs', load: editor },
  { pattern: '/specs/:id/riff', room: 'specs', load: editor },
  { pattern: '/specs/:id/swap', room: 'specs', load: swap },
  { pattern: '/specs/:id/swap/:line', room: 'specs', load: swap },
  { pattern: '/specs/:id/touch', room: 'specs', load: async () => (await import('./rooms/specs/touch.tsx')).Touch },
  { pattern: '/specs/:id/difference', room: 'specs', load: difference },
  { pattern: '/specs/:id/difference/:other', room: 'specs', load: difference },
  { pattern: '/specs/:id/batch', room: 'specs', load: async () => (await import('./rooms/batch/index.tsx')).Batch },
  { pattern: '/making', room: 'bottles', load: async () => (await import('./rooms/making/index.tsx')).Makings },
  { pattern: '/making/syrup', room: 'bottles', load: async () => (await import('./rooms/making/syrup.tsx')).Syrup },
  { pattern: '/making/cut', room: 'bottles', load: async () => (await import('./rooms/making/cut.tsx')).Cut },
  {
    pattern: '/making/infusion',
    room: 'bottles',
    load: async () => (await import('./rooms/making/infusion.tsx')).Infusion,
  },
  { pattern: '/bottles', room: 'bottles', load: async () => (await import('./rooms/bottles/index.tsx')).Bottles },
  { pattern: '/week', room: 'week', load: async () => (await import('./rooms/week/index.tsx')).Week },
  { pattern: '/week/four', room: 'week', load: async () => (await import('./rooms/week/trend.tsx')).FourWeeks },
  { pattern: '/week/year', room: 'week', load: async () => (await import('./rooms/week/trend.tsx')).Year },
  { pattern: '/week/help', room: 'week', load: async () => (await import('./rooms/week/help.tsx')).Help },
  { pattern: '/side', room: 'side', load: async () => (await import('./rooms/side/index.tsx')).Side },
  { pattern: '/side/new', room: 'side', load: async () => (await import('./rooms/side/begin.tsx')).Begin },
  { pattern: '/side/:id', room: 'side', load: async () => (await import('./rooms/side/comparison.tsx')).Comparison },
  { pattern: '/side/:id/add', room: 'side', load: async () => (await import('./rooms/side/add.tsx')).Add },
  { pattern: '/side/:id/next', room: 'side', load: async () => (await import('./rooms/flight/next.tsx')).Next },
  { pattern: '/side/:id/trial', room: 'side', load: async () => (await import('./rooms/trial/index.tsx')).Trial },
  { pattern: '/flight/:id', room: 'side', load: async () => (await import('./rooms/flight/index.tsx')).Flight },
  {
    pattern: '/flight/:id/friends',
    room: 'side',
    load: async () => (await import('./rooms/flight/friends.tsx')).Friends,
  },
  { pattern: '/keeper', room: 'keeper', load: async () => (await import('./rooms/keeper/index.tsx')).Keeper },
  { pattern: '/keeper/export', room: 'keeper', load: async () => (await import('./rooms/keeper/export.tsx')).Export },
  {
    pattern: '/keeper/settings',
    room: 'keeper',
    load: async () => (await import('./rooms/keeper/settings.tsx')).SettingsPage,
  },
  {
    pattern: '/keeper/calibration',
    room: 'keeper',
    load: async () => (await import('./rooms/keeper/calibration.tsx')).Calibration,
  },
  { pattern: '/keeper/trash', room: 'keeper', load: async () => (await import('./rooms/keeper/trash.tsx')).Trash },
  {
    pattern: '/keeper/bring-file',
    room: 'keeper',
    load: async () => (await import('./rooms/keeper/bring-file.tsx')).BringFile,
  },
  {
    pattern: '/keeper/sign-ins',
    room: 'keeper',
    load: async () => (await import('./rooms/keeper/sign-ins.tsx')).SignIns,
  },
  {
    pattern: '/keeper/household',
    room: 'keeper',
    load: async () => (await import('./rooms/keeper/household.tsx')).Household,
  },
  { pattern: '/keeper/delete', room: 'keeper', load: async () => (await import('./rooms/keeper/delete.tsx')).Delete },
  { pattern: '/clash/:id', room: '', load: async () => (await import('./rooms/clash/index.tsx')).Clash },
  { pattern: '/pair', room: '', page: Pair },
  { pattern: '/setup', room: '', load: async () => (await import('./enter/setup.tsx')).Setup },
  { pattern: '/sign-in', room: '', load: async () => (await import('./enter/sign-in.tsx')).SignIn },
  { pattern: '/join', room: '', load: async () => (await import('./enter/join.tsx')).Join },
  { pattern: '/bring', room: '', load: async () => (await import('./bring.tsx')).BringPage },
  { pattern: '/bring/:journal', room: '', load: async () => (await import('./forgotten.tsx')).ForgottenPage },
  { pattern: '/password', room: 'keeper', load: async () => (await import('./password.tsx')).PasswordPage },
];

const fetched = new Map<Route, Room>();
let fetchedAll = false;

/** The room if it is here already. */
export function roomOf(route: Route): Room | undefined {
  return 'page' in route ? route.page : fetched.get(route);
}

export async function fetchRoom(route: Route): Promise<Room> {
  const [room] = 'page' in route ? [route.page] : await Promise.all([route.load(), fetchLater()]);
  fetched.set(route, room);
  return room;
}

/**
 * Fetches the rooms one by one while nothing else goes on, so that opening one shows no pause. The mark stands when all are
 * here, their styles too.
 */
export async function fetchRooms(): Promise<void> {
  let all = true;
  for (const route of routes) {
    await fetchRoom(route).catch(() => (all = false)); // offline at the first visit; opening says so
  }
  if (all) performance.mark('every room is here');
  fetchedAll = true;
}

/** Whether nothing more is fetched by itself. */
export const isFetched = (): boolean => fetchedAll;

/** The page for a path, or null when there is none. */
export function routeOf(path: string): { route: Route; params: Params } | null {
  for (const route of routes) {
    const params = match(route.pattern, path);
    if (params) return { route, params };
  }
  return null;
}
