/** Every sentence a person reads. Rooms add their own block; nothing is worded anywhere else. */
export const words = {
  product: 'Fair Measure',
  roomsLabel: 'Rooms',
  rooms: {
    tonight: 'Tonight', journal: 'Journal', specs: 'Specs', bottles: 'Bottles', week: 'Week', side: 'Side by side', keeper: 'Keeper',
  },
  loading: 'One moment.',
  noPage: { title: 'Not here', text: 'There is no page at this address.' },
  oops: {
    title: 'Something broke',
    text: 'This page met a fault of ours. Your journal is untouched; the other rooms still work.',
    notLoaded: 'This room could not be loaded. Try again when there is signal.',
    reload: 'Reload',
  },
  putAway: 'Put away',

  state: {
    local: 'on this device', synced: 'synced', offline: 'offline', catching_up: 'catching up', comparing: 'comparing', stopped: 'not syncing',
  },
  unsent: (n: number) => `${n} not yet sent.`,
  unsentShort: (n: number) => `${n} not yet sent`,
  keptHere: 'Kept on this device.',
  stopped: (code: string | null, unsent: number) => `Syncing stopped${code ? ` (${code})` : ''}. ${unsent === 0 ? 'Nothing is waiting.' : `${unsent} not yet sent, kept on this device.`}`,

  update: { here: 'A new version is here.', when: 'Reload when you are done; drafts are kept.', take: 'Reload' },
};
