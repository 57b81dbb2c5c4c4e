/** The rooms in the order of the side bar; the bottom bar shows the first five. */
export const rooms = ['tonight', 'journal', 'specs', 'bottles', 'week', 'side', 'keeper'] as const;
export type RoomName = (typeof rooms)[number];

export const hrefOf: Record<RoomName, string> = {
  tonight: '/',
  journal: '/journal',
  specs: '/specs',
  bottles: '/bottles',
  week: '/week',
  side: '/side',
  keeper: '/keeper',
};
