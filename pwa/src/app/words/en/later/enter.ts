/** How a device comes in, and what was on it before. */
export const enter = {
  door: {
    account: 'Name',
    accountHelp: 'What you sign in with.',
    password: 'Password',
    passwordHelp: '10 characters or more. Spaces count, too.',
    show: 'Show',
    hide: 'Hide',
    showWhat: (what: string) => `Show ${what.toLowerCase()}`,
    hideWhat: (what: string) => `Hide ${what.toLowerCase()}`,
    device: 'Name of this device',
    asking: 'Asking the server.',
    ios: 'Afterwards add Fair Measure to the Home Screen (Share, then “Add to Home Screen”), open it there, and sign in with the same name and password: the app there keeps a store of its own.',
    already: (account: string) => `Now signed in to ${account}.`,
    accountMissing: 'Write the name.',
    accountLong: (n: number) => `A name has at most 60 characters; this has ${n}.`,
    passwordMissing: 'Write the password.',
    passwordShort: (n: number) =>
      `A password has 10 characters or more; this has ${n === 1 ? 'one' : n === 0 ? 'none' : n}.`,
    passwordLong: (n: number) => `A password has at most 256 characters; this has ${n}.`,
    refused: (code: string): string => doorRefusals[code] ?? `The server would not do it (${code}). Try again later.`,
    seconds: (n: number) => (n === 1 ? 'one second' : `${n} seconds`),
    minutes: (n: number) => (n === 1 ? 'one minute' : `${n} minutes`),
    tooMany: (wait: string, at: string) =>
      `Too many wrong tries. Try again in ${wait}${at === '' ? '' : `, at ${at}`}.`,
    busy: (wait: string, at: string) => `The server is busy. Try again in ${wait}${at === '' ? '' : `, at ${at}`}.`,
    again: 'The wait is over. Try again.',

    setUp: {
      title: 'Set up',
      act: 'Set up',
      what: 'This makes the first account of this server, which owns it, and a journal. Others can be invited afterwards; each has a journal of their own.',
      reads: 'Nobody else’s account reads your journal. Whoever has the server’s disk has the files on it.',
      key: 'Set-up key',
      keyHelp: 'The long line of letters after “key=” in the link the server printed when it was started.',
      keyMissing: 'Copy the key from the link the server printed.',
      toSignIn: 'Sign in instead',
    },
    join: {
      title: 'Join',
      act: 'Join',
      what: 'This makes an account for you on this server, with a journal of its own.',
      reads: 'Nobody else’s account reads it, the owner’s neither. Whoever has the server’s disk has the files on it.',
      code: 'Invitation code',
      codeHelp: 'Twelve letters and digits, as they were given to you. An invitation works once, within a day.',
      codeMissing: 'That is not a whole code: it has twelve letters and digits, with or without the dashes.',
      toPair: 'Use the code to let this device in',
      toSignIn: 'Sign in to an account you have',
      here: 'Or join here in the browser',
    },
  },

  /** Changing one's own password. */
  password: {
    title: 'Password',
    change: 'Change password',
    set: 'Set a password',
    now: 'Password now',
    fresh: 'New password',
    others: 'Sign out my other devices',
    none: 'This account has no password. Set one to sign in by name on other devices.',
    changed: (out: number) =>
      out === 0
        ? 'Changed. Your other devices stay signed in.'
        : `Changed. ${out === 1 ? 'One other device is' : `${out} other devices are`} signed out.`,
    alone: 'Changed. No other device was signed in.',
    out: 'This device is not signed in. Sign in to change the password.',
  },

  /** Entries written on a device before it came in to an account. */
  bring: {
    title: 'From before',
    found: (n: number) =>
      n === 1
        ? 'You wrote one entry on this device before signing in.'
        : `You wrote ${n} entries on this device before signing in.`,
    decided: (n: number) =>
      n === 1
        ? 'One entry written here before signing in lies in a journal of its own.'
        : `${n} entries written here before signing in lie in a journal of their own.`,
    twice: 'What was brought already is not brought twice.',
    none: 'Nothing was written on this device before signing in.',
    unpaired: 'This device belongs to no account yet. What is written here waits until it does.',
    how: (account: string) =>
      `Brought along, they become part of ${account}’s journal, on all its devices. Kept apart, they stay on this device only and can be saved as a file in Keeper.`,
    settings: 'Settings stay behind, except that a lower limit of your own comes along.',
    along: 'Bring them along',
    apart: 'Keep them apart',
    going: (done: number, total: number) => `${done} of ${total} brought along.`,
    starting: 'Looking through what was written here.',
    came: (n: number) =>
      n === 0
        ? 'All of it was here already.'
        : `Brought along: ${n === 1 ? 'one thing' : `${n} things`}, counting drinks, specs, bottles, pours and days.`,
    stayed: (n: number) =>
      `${n === 1 ? 'One thing' : `${n} things`} could not be brought. It all stays in its own journal here too; Keeper saves it as a file.`,
    kept: 'Kept apart. In Keeper they can be brought along later, or saved as a file.',
    failed: 'It stopped part way. Nothing is lost, and what came is here; start again for the rest.',
    keptFailed: 'That was not written down. Try again.',
    toTonight: 'Go to Tonight',
    toKeeper: 'Go to Keeper',
  },

  /** A journal of an account that the server does not know. */
  forgotten: {
    title: 'A journal the server does not know',
    found: (account: string) => `This device holds the journal of ${account}, and the server does not know it.`,
    why: 'The server may have been set up anew, or put back to an earlier day. Nothing is lost here.',
    whose: (account: string, now: string) =>
      `If it is yours, bring it into ${now}’s journal: all of it, as it was, with what was not sent yet. If you are not ${account}, leave it where it is.`,
    along: (now: string) => `Bring it into ${now}’s journal`,
    apart: 'Leave it where it is',
    kept: 'It stays on this device, not shown. Keeper lists it, and every export holds it.',
    going: 'One moment.',
    came: (n: number) =>
      n === 0
        ? 'All of it was here already.'
        : `It is all here now: ${n === 1 ? 'one thing' : `${n} things`}, counting drinks, specs, bottles, pours and days. The server is told as soon as it answers.`,
    next: 'Go on',
    none: 'There is no such journal on this device, or the server knows it after all.',
    way: (account: string) => `The journal of ${account}`,
    wayWhat: 'On this device, and not known to the server: bring it into this account, or leave it.',
  },
};

/** Why an account was not made or opened. */
const doorRefusals: Readonly<Record<string, string>> = {
  '': 'The server did not answer. What you typed is still here; try again when there is signal.',
  wrong: 'This name and this password do not go together. Capitals count in the password.',
  wrong_password: 'That is not the password of this account.',
  password: 'The server wants a password of 10 to 256 characters.',
  account_name: 'A name has 1 to 60 characters, all of which can be printed.',
  name_taken: 'Somebody on this server has this name already. Take another.',
  name: 'The name of the device is too long, or has signs that cannot be printed: up to 60 characters.',
  no_setup:
    'This server is set up already, or the key is not the one it printed last. A key is good for an hour; starting the server again prints a new one.',
  not_invitation: 'This code is for a device of somebody who has an account; it invites nobody.',
  code_unreadable: 'That is not a whole code: it has twelve letters and digits, with or without the dashes.',
  code_unknown: 'This invitation was never given out, was mistyped, or has been used. Ask for a new one.',
  code_expired: 'This invitation is too old. Ask for a new one.',
  internal: 'The server met a fault. Nothing was made; try again later.',
  signed_out: 'This device is not signed in any more. Sign in again.',
  expired: 'The sign-in of this device has run out. Sign in again.',
  revoked: 'This device was removed from the account. Sign in again.',
  no_space: 'The server’s disk is full, so it makes no account. Free some space there, then try again.',
};
