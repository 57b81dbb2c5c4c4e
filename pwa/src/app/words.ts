/** Every sentence a person reads: here those of the app's start, in words-later.ts those of the rooms opened from it. Nothing is worded anywhere else. */
export const words = {
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
  tryAgain: 'Try again',
  leaveIt: 'Leave it',
  notThere: 'This is not in the journal any more, or not on this device yet.',
  tooManyWindows: 'A newer version of the app is open in another tab. Reload this one.',
  noDisk: 'This browser gives the app no storage, so nothing can be saved here. A private window does that.',
  find: 'Find',
  nothingFound: (text: string) => `Nothing found for “${text}”.`,
  draftFound: 'Begun earlier and kept as a draft.',
  draftDrop: 'Throw the draft away',

  // ---- numbers and amounts
  unknownDash: '– unknown',
  atLeast: (n: string) => `at least ${n}`,
  notKnown: 'not known',
  drinksOf: (n: string, grams: string) => `${n} standard drinks, ${grams} of alcohol`,
  alcoholNotKnown: 'alcohol not known',
  about: (n: string) => `about ${n}`,
  or: (a: string, b: string) => `${a} or ${b}`,
  orValue: (value: string) => `or ${value}`,
  openAmount: 'amount open',
  changedLine: 'changed',
  minutes: (n: number) => `${n} min`,
  days: (n: string) => `${n} days`,
  hours: (n: number) => `${n} h`,
  hoursMinutes: (h: number, m: number) => `${h} h ${String(m).padStart(2, '0')} min`,
  gramsOf: (n: string) => `${n} g`,
  share: { whole: 'whole', none: 'none of it' },
  unit: (key: string, n: number): string => unitWords[key]?.[n === 1 ? 0 : 1] ?? key,
  method: (key: string): string => methodWords[key] ?? key,

  flavour: (key: string): string => key.replaceAll('_', ' '),
  strengthUnknown: 'strength unknown',
  percentVol: (n: string) => `${n} %`,
  twoValues: 'two values',
  deletedChanged: 'deleted on one device, changed on another',
  country: (code: string): string => {
    try {
      return code === 'WHO' ? 'WHO' : (new Intl.DisplayNames(['en'], { type: 'region' }).of(code) ?? code);
    } catch {
      return code;
    }
  },

  // ---- saving
  saved: 'Saved',
  /** The time of day. */
  savedAt: (time: string) => `Saved ${time}`,
  undo: 'Undo',
  /** Of several at once by their number. */
  undoes: (n: number) => (n === 1 ? words.undo : n === 2 ? 'Undo both' : `Undo all ${n}`),
  undone: (n: number) => (n === 1 ? 'Undone. Saved' : `${n} undone. Saved`),
  notSaved: 'Not saved: this device would not write it down. Nothing was changed; try again.',
  save: 'Save',
  cancel: 'Put away',

  // ---- the glass
  balance: {
    heading: 'Balance in the glass, estimated',
    measured: 'Balance in the glass, weighed',
    label: {
      abv_percent: 'Strength',
      sugar_g_per_100ml: 'Sugar',
      acid_percent: 'Acid',
      water_percent_of_start: 'Ice melt',
      volume_ml: 'Volume',
      alcohol_g: 'Alcohol',
    },
    unit: {
      abv_percent: '% vol',
      sugar_g_per_100ml: 'g/100 ml',
      acid_percent: '% w/v',
      water_percent_of_start: '% added',
      volume_ml: 'ml',
      alcohol_g: 'g',
    },
    verdict: { in: 'in range', above: 'above', below: 'below', '': '–' },
    noRange: 'no range',
    dash: '–',
    unknown: 'unknown',
    orMore: 'or more',
    key: (method: string) =>
      `Between the two lines: where one author’s ${method} drinks lie, from memory. Bar and small figures: how sure.`,
    noRangeKey: 'No usual range is known for this way of making it. Bar and small figures: how sure.',
    coldest: (at: string, low: string, high: string) =>
      `Freezes at about ${at} °C${low === '' ? '' : ` (between ${low} and ${high})`}; over ice it gets no colder than that.`,
    table: 'The drink before and after the ice',
    poured: 'Poured, then in the glass',
    beforeIce: 'before ice',
    inGlass: 'in the glass',
    why: (what: string, value: string) => `Why ${what.toLowerCase()} is ${value}`,
    perLitre: (n: string, typical: boolean) => ` at ${n} g/l${typical ? ', typical' : ''}`,
    inVolume: (after: string, before: string, water: string) => `In ${after} ml: ${before} poured, ${water} from ice`,
    all: 'all lines',
    partly: 'known lines only',
    /** How each figure is reckoned, and whose figures it stands on. */
    how: {
      abv_percent:
        'Alcohol of all lines, as millilitres, in 100 ml of the glass. Volumes are added up: in a finished drink the shrinking of alcohol and water (OIML R 22) is below a tenth of a point.',
      sugar_g_per_100ml:
        'Grams of sugar of all lines in 100 ml of the glass. Syrups by the CRC Handbook’s table of sugar in water; what you left open by typical values, within their legal classes.',
      acid_percent:
        'Grams of acid, counted as citric, in 100 ml of the glass. Lemon and lime count as 60 g a litre, as bars do, give or take a fifth; laboratories find less.',
      volume_ml: 'All lines together, and the water from the ice.',
      alcohol_g:
        'Millilitres times strength, times the weight of a millilitre of alcohol as your country’s unit has it.',
    },
    basis: {
      measured: 'The water was measured, so it has no doubt beyond the scale.',
      curve:
        'Ice melt is worked out from the strength by a published curve, not weighed: give or take a quarter. Weigh one and the band closes.',
      own: 'Ice melt is worked out by a published curve, corrected by the drinks you weighed.',
      energy:
        'Ice melt is worked out from the heat that has to go, as the published curve does not reach to so weak a drink: give or take a quarter. Weigh one and the band closes.',
      habit:
        'Ice melt is taken from bar habit for this method: the middle of a wide row, and the whole row is the band. Weigh one and the band closes.',
      none: 'No water is added this way.',
    },
  },
  remark: (code: string, names: readonly string[]): string => {
    const list = names.join(', ');
    switch (code) {
      case 'strength_unknown':
        return `The strength of ${list} is not known, so it counts as unknown, not as none.`;
      case 'sugar_unknown':
        return `The sugar of ${list} is not known.`;
      case 'acid_unknown':
        return `The acid of ${list} is not known.`;
      case 'open_amount':
        return `${list}: the amount is open, so these figures are the least it can be.`;
      case 'method_unknown':
        return 'No method is chosen, so no water from ice is counted.';
      case 'parts_without_size':
        return 'The parts have no size yet, so there are no amounts.';
      case 'outside_curve':
        return 'The drink is outside the strengths the curve was made for, so bar habit is used.';
      case 'estimate':
        return `${list}: a dash or a spoon is an estimate.`;
      case 'melt_too_little':
        return 'The measured water is less than ice of 0 °C gives while it cools a drink from 20 °C to 0 °C. Is that right? With ice from a cold freezer it can be.';
      case 'melt_too_much':
        return 'The measured water is more than twice what was poured. Is that right, and is it the water alone?';
      case 'raw_egg':
        return 'Raw egg: alcohol and citrus do not make it safe. Pasteurised egg is the careful choice for guests who are pregnant, old, very young or ill.';
      default:
        return list ? `${code}: ${list}` : code;
    }
  },

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

  // ---- Tonight
  tonight: {
    since: (day: string, time: string) => `${day} · since ${time}`,
    soFar: 'Tonight so far',
    standardDrinks: 'standard drinks',
    unitEach: (grams: string, country: string) => `${grams} g each, ${country}`,
    ofAlcohol: (grams: string) => `standard drinks, ${grams} of alcohol`,
    dash: '–',
    ofNotKnown: 'standard drinks: not known',
    oneUnknown: 'one strength unknown, so this is the least it can be',
    pace: 'Pace, rough upper figure',
    paceValue: (n: string) => `${n} an hour`,
    paceNone: 'one pour so far',
    sinceLast: (span: string) => `last one ${span} ago`,
    sinceNow: 'last one just now',
    water: 'Water',
    addWater: 'Add a glass of water, 250 ml',
    waterSaved: 'A glass of water. Saved',
    pours: 'Pours',
    next: 'Next',
    same: 'Same again',
    sameOf: (name: string, version: string) => (version ? `${name}, ${version}` : name),
    wouldBring: (n: string) => `would bring\ntonight to ${n}`,
    withSwap: 'The same with one thing swapped',
    pour: 'Pour',
    poured: (name: string) => `${name}, poured. Saved`,
    emptyTitle: 'Nothing poured yet.',
    empty: 'Pours, water and running totals stand here for the evening.',
    noScore: 'no score yet',
    benchmark: 'benchmark',
    shareOf: (share: string) =>
      share === '½' ? 'half the glass' : share === 'whole' ? 'the whole glass' : `${share} of the glass`,
    home: 'However little it was: if you drank, do not drive. The morning after counts too.',
    ended: (since: string, until: string) => `Ended: ${since === until ? since : `${since} to ${until}`}`,
    quietEmpty: 'What you pour stands here, with or without alcohol.',
    quietShow: 'Show what tonight came to',
    quietAway: 'Take it along, or leave',
    without: 'Without alcohol',
  },

  /** Before anything else on a device. */
  adults: {
    what: 'A journal for drinks, most of them with alcohol.',
    ask: 'It is for adults. Are you of legal age to drink where you are?',
    yes: 'Yes, I am',
    no: 'No',
    cautions: [
      'Never use it to decide on driving or machinery. It is not medical advice.',
      'In pregnancy, with many medicines, and after dependence, none is the careful amount.',
    ],
    kindly: 'Then this is not for you yet.',
    end: [
      'Nothing was kept on this device.',
      'If drinking worries you, your own or someone else’s, talk to someone you trust: family, a teacher, a doctor. In an emergency call the emergency number.',
    ],
    back: 'I chose wrongly',
  },
  /** When something was drunk. */
  when: {
    title: 'When',
    now: 'now',
    ago15: '15 min ago',
    ago60: 'an hour ago',
    lastNight: 'last night',
    other: 'another time',
    elsewhere: 'It was in another time zone',
    zone: 'Time zone of the place',
    twice: 'The clocks went back, so this time came twice',
    first: 'the first time',
    second: 'the second time',
    never: (zone: string) => `The clocks went forward: in ${zone} this time never came.`,
    bad: 'Expected a date and a time.',
    badZone: (came: string) => `Expected a time zone such as Europe/Berlin; got “${came}”.`,
    counts: (day: string) => `counts for ${day}`,
  },
  /** Several at once, or from before. */
  logging: {
    title: 'From before, or several',
    link: 'From before, or several at once',
    what: 'What it was',
    plain: (name: string, detail: string) => `${name}, ${detail}`,
    n: 'How many',
    needN: 'Expected a number from 1 to 20.',
    first: 'The first',
    last: 'The last',
    about: 'About: the number or the times are a guess',
    save: (n: number) => (n === 1 ? 'Save one' : `Save ${n}`),
    saved: (n: number, name: string) => (n === 1 ? `${name}. Saved` : `${n} × ${name}. Saved`),
    lastFirst: 'The last cannot be before the first.',
    spread: 'They are spread evenly between the two times.',
  },
  guessing: {
    title: 'Made by someone else',
    link: 'Made by someone else, of what you do not know',
    what: 'Choose what it was like. It is saved as an estimate, and its strength can be changed afterwards.',
    detail: (ml: string, strength: string) => `${ml}, ${strength}`,
    strength: (lo: string, hi: string) => (lo === hi ? `${lo} %` : `${lo} to ${hi} %`),
    marking: {
      'common practice': 'a common measure',
      'from memory (unverified)': 'where one author’s drinks lie, from memory',
    } as Record<string, string>,
  },

  // ---- the pour sheet
  sheet: {
    choose: 'Pour what?',
    chooseSub: 'One touch saves a plain drink; a spec opens its sheet.',
    specs: 'Your specs',
    plains: 'Plain drinks',
    other: 'Something else',
    otherName: 'What it is',
    otherVolume: 'How much, ml',
    otherStrength: 'Strength, % vol; leave empty if you do not know',
    keep: 'Keep it in this list',
    otherPlaceholder: 'a glass of cider',
    pourOther: 'Save drink',
    needName: 'Say what it is.',
    needVolume: (came: string) => `Expected millilitres, such as 330; got “${came}”.`,
    needStrength: (came: string) => `Expected a strength from 0 to 100, such as 5; got “${came}”.`,
    noSpecs: 'No spec yet. Write one, or log a plain drink below.',
    writeSpec: 'Write a spec',
    allSpecs: 'All specs',
    swap: (line: string) => `Swap one line: ${line}`,
    whichLine: 'Which line',
    asWritten: 'as written',
    moreChoices: (n: number) => `Show ${n} more`,
    left: (ml: string) => `${ml} left`,
    share: 'How much of the glass you drink',
    shareLess: 'Drink less of it',
    shareMore: 'Drink more of it',
    forSomeoneElse: 'made for someone else',
    shares: [
      [10000, 'all'],
      [5000, 'half, shared by two'],
      [3333, 'a third'],
      [1000, 'a sip or two'],
      [0, 'none'],
    ] as readonly (readonly [number, string])[],
    shareMeans: 'What you drink counts for you; the bottles go down by the whole glass.',
    holds: (drinks: string) => `${drinks} standard drinks`,
    brings: (total: string) => `brings tonight to ${total}`,
    score: 'Score, 0 to 10 in halves; leave it empty if you like',
    scoreLabel: 'Score',
    scoreLess: 'Half a point less',
    scoreMore: 'Half a point more',
    scoreNone: 'none yet',
    scoreClear: 'Clear the score',
    flavour: 'Flavour',
    note: 'Note',
    notePlaceholder: 'sharper, longer, a touch loud …',
    save: 'Save pour',
    lines: (n: number) => (n === 1 ? 'one line' : `${n} lines`),
    more: 'More',
    fewer: 'Fewer',
    toTotal: (n: string) => `to ${n}`,
    tonightTo: 'brings tonight',
    earlierField: 'When it was drunk',
    earlierBad: 'That moment has not come yet.',
    weighed: 'Weighed it? Grams before and after the ice',
    before: 'Before, g',
    after: 'After, g',
    badWeight: 'Expected two weights in grams, the second not less than the first.',
  },

  // ---- specs
  specs: {
    benchmark: 'benchmark',
  },
  spec: {
    unnamed: 'Without a name',
    changeLine: (line: string) => `Change ${line}`,
  },

  // ---- what a chosen glass would bring a total to
  guide: {
    published: (n: string, above: boolean, limit: string, group: string, issuer: string, year: number) =>
      `${n} ${above ? 'is above the' : 'reaches the'} ${limit} of the guidance${group && ` ${group}`} (${issuer}, ${year}).`,
    own: (n: string, above: boolean, limit: string) => `${n} ${above ? 'is above' : 'reaches'} your own ${limit}.`,
    short: (above: boolean, limit: string, by: string) =>
      `${above ? 'above' : 'reaches'} ${by === '' ? `your own ${limit}` : `${limit} (${by})`}`,
  },

  // ---- the week
  week: {
    period: {
      day: 'on any one day',
      week: 'a week',
      occasion: 'on one occasion',
      two_hours: 'in about two hours',
      '': '',
    } as Record<string, string>,
    group: (group: string) => (group === '' || group === 'adults' || group === 'everyone' ? '' : `for ${group}`),
    sessionPeak: (n: string) => `at most ${n} in any two hours`,
  },
  /** The medical caution, wherever the totals are high; and the kinds of help. */
  medical: {
    title: 'Before you cut down',
    stop: 'Your days come to so much alcohol that stopping suddenly can be dangerous: shaking, sweating, seizures or seeing things can begin within a day, and can kill. Talk to a doctor before you cut down. Seizures or confusion are an emergency: call for help.',
    more: 'Kinds of help',
  },

  // ---- keeper
  keeper: {
    pairAgain: 'Pair again',
  },

  // ---- taking it along
  exporting: {
    title: 'Export',
  },

  // ---- leaving
  leaving: {
    erased: 'Erased',
    erasedText: 'Nothing of the journal is left on this device.',
    erasedUntold: 'The server did not answer, so it may still list this device. Remove it there from another device.',
    again: 'Begin again',
  },

  // ---- before the first entry
  first: {
    sub: 'A journal of what was in the glass',
    stays: 'Everything you write stays on this device until you sign in to your own server.',
    caution: 'For adults. Never use it to decide on driving. Not medical advice.',
    ios: 'On an iPhone or iPad, add it to the Home Screen first (Share, then “Add to Home Screen”): the browser clears what a mere tab keeps.',
    spec: 'Write the first spec',
    signIn: 'Sign in',
    pair: 'Enter a code',
    plain: 'Or log a plain drink',
  },

  /** Keeper: the account, its devices and the household. */
  account: {
    shutNotice: 'A device of yours was shut because its sign-in was used from two places.',
    shutNoticeLink: 'See it in Keeper',
    shutNoticeClose: 'Put away',
  },

  /** Keeper: the end of an account. */
  deleting: {
    title: 'Delete everything',
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

  update: { here: 'A new version is here.', when: 'Reload when you are done; drafts are kept.', take: 'Reload' },

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

const unitWords: Record<string, readonly [string, string]> = {
  ml: ['ml', 'ml'],
  cl: ['cl', 'cl'],
  l: ['l', 'l'],
  oz: ['oz', 'oz'],
  dash: ['dash', 'dashes'],
  drop: ['drop', 'drops'],
  barspoon: ['barspoon', 'barspoons'],
  teaspoon: ['teaspoon', 'teaspoons'],
  tablespoon: ['tablespoon', 'tablespoons'],
  cup: ['cup', 'cups'],
  part: ['part', 'parts'],
  splash: ['splash', 'splashes'],
  jigger: ['jigger', 'jiggers'],
  pony: ['pony', 'ponies'],
  piece: ['', ''],
  fruit: ['fruit', 'fruits'],
  cube: ['cube', 'cubes'],
  g: ['g', 'g'],
  top: ['top', 'top'],
  rinse: ['rinse', 'rinse'],
  float: ['float', 'float'],
  taste: ['to taste', 'to taste'],
};

const methodWords: Record<string, string> = {
  stirred: 'stirred',
  shaken: 'shaken',
  built: 'built over ice',
  long: 'built long',
  thrown: 'thrown',
  swizzled: 'swizzled',
  flash: 'flash-blended',
  blended: 'blended',
  whipped: 'whip-shaken',
  dry: 'shaken without ice',
  freezer: 'freezer-batched',
  neat: 'neat',
  carbonated: 'carbonated',
};

/** The methods in the order a person meets them. */
export const methods = [
  'shaken',
  'stirred',
  'built',
  'long',
  'thrown',
  'swizzled',
  'flash',
  'blended',
  'whipped',
  'dry',
  'freezer',
  'carbonated',
  'neat',
] as const;

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
