/** Files, and leaving. */
export const leaving = {
  exporting: {
    what: 'One JSON file with everything on this device, sent or not. It is made here; no signal is needed.',
    apart: (n: number) =>
      n === 1
        ? 'The entry kept apart goes into a file of its own.'
        : `The ${n} entries kept apart go into files of their own.`,
    others: (n: number) =>
      n === 1
        ? 'There is another journal on this device; it gets a file of its own.'
        : `There are ${n} other journals on this device; each gets a file of its own.`,
    plain: 'Whoever has the file can read all of it.',
    make: 'Export everything (JSON)',
    making: 'One moment.',
    failed: 'The file could not be made. Reload the app, then try again.',
    fresh: 'Make it again',
    ready: (when: string) => `As of ${when}.`,
    save: (name: string, size: string) => `Save ${name}, ${size}`,
    share: 'Hand it on',
    kB: (n: string) => `${n} kB`,
    MB: (n: string) => `${n} MB`,
  },

  /** Keeper: entries of an exported file come into the journal. */
  bringingFile: {
    title: 'Bring a file along',
    what: 'A file this app exported, from here or elsewhere. Its entries are added to this journal; nothing that is here is changed or replaced, and bringing the same file twice adds nothing.',
    apart:
      'A file from another journal brings that journal’s entries into this one, and from there to all its devices.',
    choose: 'The file',
    act: 'Bring it along',
    reading: 'Reading the file.',
    progress: (done: string, total: string) => `${done} of ${total}`,
    level: 'How far it is',
    stay: 'Leave this page open until it is done.',
    brought: (n: string, one: boolean): string =>
      one ? 'One thing was brought along.' : `${n} things were brought along.`,
    nothing: 'Everything in the file was here already.',
    notBrought: (n: number) =>
      n === 1
        ? 'One thing could not be brought; the file keeps it.'
        : `${n} things could not be brought; the file keeps them.`,
    toJournal: 'See the journal',
    refused: {
      not_an_export:
        'This is no file that Fair Measure exported, or it is damaged. Nothing was brought. Expected one named like fair-measure-2026-05-15.json.',
      file_too_large: 'The file is too large: at most 128 MB are read. Nothing was brought.',
      unreadable: 'The file could not be read. If it was moved or changed, choose it again.',
    } as Record<string, string>,
    failed: 'It stopped on the way. What was brought so far is here; bring the same file again to get the rest.',
  },

  /** What the journals on this device hold: before erasing, exporting, and when one is offered. */
  held: {
    title: 'On this device',
    name: (standing: string, account: string | null) => {
      if (standing === 'apart') return 'Written before signing in';
      if (account === null) return standing === 'open' ? 'This journal' : 'A journal that is in no list';
      return standing === 'open' ? `This journal, of ${account}` : `The journal of ${account}`;
    },
    counts: (c: { drinks: number; specs: number; pours: number; bottles: number }) => {
      const parts = [
        [c.pours, 'pour', 'pours'],
        [c.drinks, 'drink', 'drinks'],
        [c.specs, 'spec', 'specs'],
        [c.bottles, 'bottle', 'bottles'],
      ] as const;
      const said = parts.filter(([n]) => n > 0).map(([n, one, many]) => `${n} ${n === 1 ? one : many}`);
      return said.length > 0 ? said.join(', ') : 'No drinks, specs, pours or bottles';
    },
    rows: (n: number) => `${n === 1 ? 'One row' : `${n} rows`} that could not be opened`,
    unsent: (n: number) => `${n} not sent`,
    where: {
      open: '',
      apart: 'Only on this device.',
      elsewhere: 'Sent when that account signs in here again, and only then.',
      forgotten: 'The server does not know this journal. It may be only on this device.',
      erased: 'Deleted for good from another device. What is here is only here.',
      lost: 'It may be only on this device.',
    } as Record<string, string>,
    looking: 'Looking through what is on this device.',
    failed: 'What is on this device could not be counted. Export it before you erase anything.',
  },

  leaving: {
    title: 'Sign out',
    titleLocal: 'Erase',
    what: 'Signed out, this device sends and fetches nothing. Keep what is here, or erase it.',
    whatOut: 'Signed out already. What is here can be erased.',
    whatLocal: 'Everything here is on this device only.',
    unsent: (n: number) => (n === 1 ? 'One entry was not sent yet.' : `${n} entries were not sent yet.`),
    elsewhere: (n: number) =>
      `${n === 1 ? 'One entry' : `${n} entries`} of another account on this device ${n === 1 ? 'was' : 'were'} not sent yet. Erasing takes ${n === 1 ? 'it' : 'them'} away too; signing in to that account first sends ${n === 1 ? 'it' : 'them'}.`,
    allSent: 'The server has everything that is here.',
    notChecked: (when: string) =>
      when === ''
        ? 'Nothing waits to be sent, but no server has confirmed yet that it has what is here.'
        : `Nothing waits to be sent. Whether the server still has what is here was last confirmed ${when}.`,
    exportFirst: 'Export first',
    keep: 'Sign out, keep what is here',
    keepSure: 'Sign this device out? What is here stays and can be read and written on. To send it later, pair again.',
    keepYes: 'Sign out',
    erase: 'Sign out and erase',
    eraseOut: 'Erase this device',
    eraseSure: (unsent: number, sure = true) =>
      unsent === 0
        ? sure
          ? 'Erase everything on this device? The server keeps what it has.'
          : 'Erase everything on this device? What no server has would be gone for good.'
        : `Erase everything on this device? ${unsent === 1 ? 'One entry is' : `${unsent} entries are`} nowhere else and would be gone for good.`,
    eraseLocal: (n: number) =>
      n === 0
        ? 'Erase everything on this device?'
        : `Erase everything on this device? It is nowhere else (${n === 1 ? 'one save' : `${n} saves`}) and would be gone for good.`,
    eraseYes: 'Erase it all',
    failed: 'It did not work. Close the other windows of the app, reload, and look again.',
    out: (account: string, left: string) =>
      left === 'untold'
        ? `Signed out of ${account} here. The server did not answer, so it does not know yet; it is told when there is signal.`
        : `Signed out of ${account}.`,
  },

  deleting: {
    what: 'Deleted for good on the server, with no way back:',
    list: [
      'the account, with its name and password',
      'the whole journal: drinks, specs, bottles, pours',
      'the sign-ins of all its devices',
    ],
    here: 'Then everything on this device is erased as well.',
    others:
      'Other devices learn of it when they next sync. They keep their copy until whoever has them erases it there.',
    backups: 'Backups the keeper of the server made may hold it until they are thrown away.',
    first: 'First, take it along',
    last: 'Delete',
    password: 'Your password',
    name: (account: string) => `Type the name of the account, ${account}`,
    act: 'Delete everything',
    sure: (account: string) => `Delete ${account} and its journal for good, on the server and on this device?`,
    yes: 'Delete it for good',
    working: 'Deleting. One moment.',
    needs: 'This needs the server, and there is no signal just now.',
    unsent: (n: number) =>
      `${n === 1 ? 'One entry is' : `${n} entries are`} on this device only, and would be gone as well.`,
    refused: (code: string, typed: 'password' | 'name', wait: number | null): string => {
      if (code === 'wrong_password')
        return typed === 'password'
          ? 'That is not the password. Nothing was deleted.'
          : 'That is not its name. Nothing was deleted.';
      if (code === 'too_many_tries')
        return wait === null
          ? 'Too many wrong tries. Nothing was deleted; wait, then try again.'
          : `Too many wrong tries. Nothing was deleted; try again in ${wait < 90 ? `${wait} s` : `${Math.ceil(wait / 60)} min`}.`;
      if (code === '')
        return 'The server did not answer, so it is not sure whether it was deleted. Try again when there is signal.';
      return `The server did not delete it (${code}). Try again later.`;
    },
    leftHere:
      'It is deleted on the server, but this device could not be erased. Close the other windows of the app, reload, and erase it in Keeper.',
    notSignedIn: 'Only a signed-in device can delete the account. What is here can be erased in Keeper.',
  },
};
