/** The frame of every page, and what any of them may have to say. */
export const app = {
  product: 'Fair Measure',
  titled: (title: string) => `${title} – Fair Measure`,
  roomsLabel: 'Rooms',
  rooms: {
    tonight: 'Tonight',
    journal: 'Journal',
    specs: 'Specs',
    bottles: 'Bottles',
    week: 'Week',
    side: 'Side by side',
    keeper: 'Keeper',
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
  tryAgain: 'Try again',
  leaveIt: 'Leave it',
  notThere: 'This is not in the journal any more, or not on this device yet.',
  tooManyWindows: 'A newer version of the app is open in another tab. Reload this one.',
  noDisk: 'This browser gives the app no storage, so nothing can be saved here. A private window does that.',
  find: 'Find',
  nothingFound: (text: string) => `Nothing found for “${text}”.`,
  draftFound: 'Begun earlier and kept as a draft.',
  draftDrop: 'Throw the draft away',
  update: { here: 'A new version is here.', when: 'Reload when you are done; drafts are kept.', take: 'Reload' },
};
