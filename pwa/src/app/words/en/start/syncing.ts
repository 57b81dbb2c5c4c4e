/** Where this device stands with its server. */
export const syncing = {
  state: {
    local: 'only here',
    synced: 'synced',
    offline: 'offline',
    catching_up: 'catching up',
    comparing: 'comparing',
    stopped: 'not syncing',
    asking: 'checking',
    refused: 'not synced',
  },

  unsent: (n: number) => `${n} not yet sent.`,
  unsentShort: (n: number) => `${n} not yet sent`,
  keptHere: 'Kept on this device.',
  stopped: (code: string | null): { what: string; then: string } => {
    const [what, then] = stopped[code ?? ''] ?? [
      `The server refused (${code}).`,
      'Everything stays on this device. Reload the app, then try again.',
    ];
    return { what, then };
  },

  unsentKept: (n: number) => (n === 0 ? 'Nothing waits to be sent.' : `${n} not yet sent, kept on this device.`),
  unreadable: (n: number) =>
    n === 1
      ? 'One row on this device cannot be read. It is kept, and goes into every file you export.'
      : `${n} rows on this device cannot be read. They are kept, and go into every file you export.`,

  catchingUp: {
    title: 'Catching up.',
    text: 'Your journal is on its way from the server.',
    offline: 'There is no answer from the server, so your journal is not here yet. It comes as soon as there is.',
  },

  /** A journal on this device that the server does not know. */
  forgotten: {
    here: (account: string) => `The journal of ${account} is on this device too, and the server does not know it.`,
    way: 'Look at it',
  },

  /** Keeper: the account, its devices and the household. */
  account: {
    shutNotice: 'A device of yours was shut because its sign-in was used from two places.',
    shutNoticeLink: 'See it in Keeper',
    shutNoticeClose: 'Put away',
  },

  /** A device that learns late that its journal is gone. */
  late: {
    what: 'This journal was deleted for good, from another device.',
    then: 'What is here can still be saved as a file.',
    way: 'Save it or erase it',
    erase: 'Erase what is here',
    eraseWhat: 'Until you do, everything on this device stays and can be read.',
    act: 'Erase this device',
    sure: 'Erase everything on this device? The server has deleted its copy; without a file of it, it would be gone for good.',
    yes: 'Erase it all',
    unsent: (n: number) =>
      n === 0
        ? ''
        : n === 1
          ? 'One entry was never sent, and is only here.'
          : `${n} entries were never sent, and are only here.`,
  },

  keeper: {
    pairAgain: 'Pair again',
  },
};

/** Why nothing is sent or fetched: what happened, and what to do. Every code the server can refuse a round with is here. */
const stopped: Readonly<Record<string, readonly [string, string]>> = {
  '': ['Syncing stopped.', 'Everything stays on this device.'],
  full: [
    'This journal is as large as the server allows.',
    'What is new stays on this device. Erase what you no longer need, from the trash, or ask who runs the server.',
  ],
  revoked: ['This device was removed from the journal.', 'You can read what is here. Pair it again to send and fetch.'],
  signed_out: ['This device is signed out.', 'You can go on writing here. Pair it again to send and fetch.'],
  expired: ['The sign-in has run out.', 'You can go on writing here. Pair it again to send and fetch.'],
  erased: ['This journal was deleted for good, from another device.', 'What is here can still be saved as a file.'],
  no_journal: [
    'The server does not know this journal.',
    'You can go on writing here. Pair it again with the server that has it.',
  ],
  too_old: ['This app is too old for the server.', 'Reload when a new version is offered; what is not sent goes then.'],
  no_space: [
    'The server’s disk is full.',
    'It takes nothing new; this device keeps everything. Free some space there, then try again.',
  ],
  out_of_step: ['This device and the server have to compare everything.', 'That begins by itself; nothing is lost.'],
  refused: ['The server could not store one of the entries.', 'It is put aside, and kept; Keeper lists it.'],
  renewed: ['The sign-in was renewed a moment ago.', 'It is asked again by itself.'],
  timeout: ['Sending took too long.', 'Less is sent at once next time; this device keeps everything.'],
  too_large: ['The server takes less at once than was sent.', 'Less is sent next time; this device keeps everything.'],
  headers_too_large: [
    'The request was too large on its way to the server.',
    'A proxy before the server may add to it. This device keeps everything; tell whoever runs the server.',
  ],
  cross_site: [
    'The server did not take this page for its own.',
    'It is reached under another address than it was set up with. This device keeps everything; tell whoever runs it.',
  ],
  content_encoding: [
    'Something on the way changed what was sent.',
    'A proxy before the server may do that. This device keeps everything; tell whoever runs the server.',
  ],
  media_type: [
    'Something on the way changed what was sent.',
    'A proxy before the server may do that. This device keeps everything; tell whoever runs the server.',
  ],
  busy: ['The server is busy or is being closed.', 'It is asked again by itself; this device keeps everything.'],
  internal: [
    'Something went wrong on the server.',
    'It is asked again by itself. Whoever runs it finds why in its log.',
  ],
  malformed: [
    'The server could not read what was sent.',
    'Everything stays on this device. Reload the app, then try again.',
  ],
};
