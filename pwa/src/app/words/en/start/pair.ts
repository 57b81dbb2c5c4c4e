/** How a device comes in. */
export const pair = {
  pair: {
    title: 'Pair this device',
    code: 'Code',
    where: 'Twelve letters and digits, as your other device shows them or the server printed them. A code works once.',
    name: 'Name of this device',
    names: { phone: 'Phone', tablet: 'Tablet', laptop: 'Laptop' },
    act: 'Pair',
    apart: 'What was written here before stays on this device until you choose what becomes of it.',
    asking: 'Asking the server to let this device in.',
    confirm: 'Confirm on your other device:',
    confirmWhere: 'The device that shows the code now asks for this number. It has one try.',
    confirmStays: 'As soon as it is confirmed, the journal opens here.',
    giveUp: 'Stop waiting',
    already: (account: string) => `Now signed in to ${account}.`,
    refused: (code: string): string =>
      pairRefusals[code] ?? 'The server would not let this device in. Ask for a new code and try again.',
    carry:
      'Links open here in the browser, but the app on the Home Screen keeps a store of its own. So type this code there:',
    copy: 'Copy the code',
    copied: 'Copied',
    steps: [
      'Tap Share, then “Add to Home Screen”.',
      'Open Fair Measure from the Home Screen.',
      'Choose “Enter a code” there, and type it.',
    ],
    toSignIn: 'Sign in with name and password',
  },

  /** How a device comes in: setting up, signing in, joining by invitation. */
  door: {
    signIn: {
      title: 'Sign in',
      act: 'Sign in',
      again: 'Sign in again',
      toPair: 'Enter a code',
      lost: 'Password lost? Whoever runs the server can make a code that lets you in.',
      notSetUp: 'If nobody has set the server up yet, open the link it printed when it was started.',
    },
  },
};

const pairRefusals: Readonly<Record<string, string>> = {
  '': 'The server did not answer. The code is not used up; try again when there is signal.',
  code_unreadable: 'That is not a whole code: it has twelve letters and digits, with or without the dashes.',
  code_unknown: 'This code was never given out, was mistyped, or has been used. Ask for a new one.',
  code_expired: 'This code is too old. Ask for a new one.',
  name: 'The name is too long, or has signs that cannot be printed: up to 60 characters.',
  too_many_tries: 'Too many wrong codes from this address. Wait an hour, then ask for a new one.',
  busy: 'The server is busy. Wait a moment and try again.',
  refused: 'Your other device did not let this one in. Ask it for a new code.',
  claim_gone: 'The wait is over and nothing was confirmed. Ask for a new code.',
};
