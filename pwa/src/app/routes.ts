import type { ComponentType } from 'preact';
import { Bottles } from './rooms/bottles/index.tsx';
import { Clash } from './rooms/clash/index.tsx';
import { Journal } from './rooms/journal/index.tsx';
import { Pair } from './pair.tsx';
import { Pour } from './rooms/pour/index.tsx';
import { PourSheet } from './rooms/sheet/index.tsx';
import { Spec } from './rooms/spec/index.tsx';
import { Specs } from './rooms/specs/index.tsx';
import { SpecEditor } from './rooms/editor/index.tsx';
import { Tonight } from './rooms/tonight/index.tsx';
import { Week } from './rooms/week/index.tsx';
import type { RoomName } from './rooms.ts';
import { match, type Params } from './router.ts';

/** A room is drawn with the named parts of its path: the pour's or the spec's id. */
export type Room = ComponentType<{ params: Params }>;

/** `room`: whose mark is long while the page is shown; '' outside the rooms. A heavy room is fetched when first opened. */
interface Place {
  pattern: string;
  room: RoomName | '';
}
export type Route = Place & ({ page: Room } | { load: () => Promise<Room> });

const routes: readonly Route[] = [
  { pattern: '/', room: 'tonight', page: Tonight },
  { pattern: '/pour', room: 'tonight', page: PourSheet },
  { pattern: '/pour/:spec', room: 'tonight', page: PourSheet },
  { pattern: '/journal', room: 'journal', page: Journal },
  { pattern: '/journal/:pour', room: 'journal', page: Pour },
  { pattern: '/specs', room: 'specs', page: Specs },
  { pattern: '/specs/new', room: 'specs', page: SpecEditor },
  { pattern: '/specs/:id', room: 'specs', page: Spec },
  { pattern: '/specs/:id/edit', room: 'specs', page: SpecEditor },
  { pattern: '/specs/:id/riff', room: 'specs', page: SpecEditor },
  { pattern: '/bottles', room: 'bottles', page: Bottles },
  { pattern: '/week', room: 'week', page: Week },
  { pattern: '/side', room: 'side', load: async () => (await import('./rooms/side/index.tsx')).Side },
  { pattern: '/keeper', room: 'keeper', load: async () => (await import('./rooms/keeper/index.tsx')).Keeper },
  { pattern: '/clash/:id', room: '', page: Clash },
  { pattern: '/pair', room: '', page: Pair },
];

/** The page for a path, or null when there is none. */
export function routeOf(path: string): { route: Route; params: Params } | null {
  for (const route of routes) {
    const params = match(route.pattern, path);
    if (params) return { route, params };
  }
  return null;
}
