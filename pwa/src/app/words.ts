/** Every sentence a person reads. Rooms add their own block; nothing is worded anywhere else. */
export const words = {
  product: 'Fair Measure',
  titled: (title: string) => `${title} – Fair Measure`,
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

  // ---- numbers and amounts
  unknownDash: '– unknown',
  atLeast: (n: string) => `at least ${n}`,
  about: (n: string) => `about ${n}`,
  or: (a: string, b: string) => `${a} or ${b}`,
  orValue: (value: string) => `or ${value}`,
  openAmount: 'amount open',
  changedLine: 'changed',
  minutes: (n: number) => `${n} min`,
  hours: (n: number) => `${n} h`,
  hoursMinutes: (h: number, m: number) => `${h} h ${String(m).padStart(2, '0')}`,
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
  undo: 'Undo',
  undone: 'Undone. Saved',
  notSaved: 'Not saved: this device would not write it down. Nothing was changed; try again.',
  save: 'Save',
  cancel: 'Put away',

  // ---- the glass
  balance: {
    heading: 'Balance in the glass, estimated',
    measured: 'Balance in the glass, weighed',
    label: {
      abv_percent: 'Strength', sugar_g_per_100ml: 'Sugar', acid_percent: 'Acid', water_percent_of_start: 'Ice melt', volume_ml: 'Volume', alcohol_g: 'Alcohol',
    },
    unit: { abv_percent: '% vol', sugar_g_per_100ml: 'g/100 ml', acid_percent: '% w/v', water_percent_of_start: '% added', volume_ml: 'ml', alcohol_g: 'g' },
    verdict: { in: 'in range', above: 'above', below: 'below', '': '–' },
    noRange: 'no range',
    key: (method: string) => `Between the two lines: where one author’s ${method} drinks lie, from memory. Bar and small figures: how sure.`,
    noRangeKey: 'No usual range is known for this way of making it. Bar and small figures: how sure.',
    table: 'The drink before and after the ice',
    poured: 'Poured, then in the glass',
    beforeIce: 'before ice',
    inGlass: 'in the glass',
    why: (what: string, value: string) => `Why ${what.toLowerCase()} is ${value}`,
    perLitre: (n: string, typical: boolean) => ` at ${n} g/l${typical ? ', typical' : ''}`,
    inVolume: (after: string, before: string, water: string) => `In ${after} ml: ${before} poured, ${water} from ice`,
    all: 'all lines',
    partly: 'known lines only',
    basis: {
      measured: 'The water was measured, so it has no doubt beyond the scale.',
      curve: 'Ice melt is worked out from the strength by a published curve, not weighed: give or take a quarter. Weigh one and the band closes.',
      habit: 'Ice melt is taken from bar habit for this method: the middle of a wide row, and the whole row is the band. Weigh one and the band closes.',
      none: 'No water is added this way.',
    },
  },
  remark: (code: string, names: readonly string[]): string => {
    const list = names.join(', ');
    switch (code) {
      case 'strength_unknown': return `The strength of ${list} is not known, so it counts as unknown, not as none.`;
      case 'sugar_unknown': return `The sugar of ${list} is not known.`;
      case 'acid_unknown': return `The acid of ${list} is not known.`;
      case 'open_amount': return `${list}: the amount is open, so these figures are the least it can be.`;
      case 'outside_curve': return 'The drink is outside the strengths the curve was made for, so bar habit is used.';
      case 'estimate': return `${list}: a dash or a spoon is an estimate.`;
      case 'raw_egg': return 'Raw egg: alcohol and citrus do not make it safe. Pasteurised egg is the careful choice for guests who are pregnant, old, very young or ill.';
      default: return list ? `${code}: ${list}` : code;
    }
  },

  // ---- Tonight
  tonight: {
    since: (day: string, time: string) => `${day} · since ${time}`,
    soFar: 'Tonight so far',
    standardDrinks: 'standard drinks',
    unitEach: (grams: string, country: string) => `${grams} g each, ${country}`,
    ofAlcohol: (grams: string) => `standard drinks, ${grams} of alcohol`,
    ofAlcoholAtLeast: (grams: string) => `standard drinks or more, at least ${grams} of alcohol`,
    oneUnknown: 'one strength unknown, so this is the least it can be',
    pace: 'Pace, rough upper figure',
    paceValue: (n: string) => `${n} an hour`,
    paceNone: 'one pour so far',
    sinceLast: (span: string) => `last one ${span} ago`,
    water: 'Water',
    addWater: 'Add a glass of water, 250 ml',
    waterSaved: 'A glass of water. Saved',
    pours: 'Pours',
    next: 'Next',
    same: 'Same again',
    sameOf: (name: string, version: string) => (version ? `${name}, ${version}` : name),
    wouldBring: (n: string) => `would bring\ntonight to ${n}`,
    withSwap: 'The same with one thing swapped',
    passes: (n: string, limit: string, period: string, issuer: string, year: number) => `${n} is above the ${limit} ${period} of the guidance (${issuer}, ${year}).`,
    meets: (n: string, limit: string, period: string, issuer: string, year: number) => `${n} reaches the ${limit} ${period} of the guidance (${issuer}, ${year}).`,
    pour: 'Pour',
    poured: (name: string) => `${name}, poured. Saved`,
    emptyTitle: 'Nothing poured yet.',
    empty: 'Pours, water and running totals stand here for the evening.',
    noScore: 'no score yet',
    benchmark: 'benchmark',
    shareOf: (share: string) => `${share} of the glass`,
    home: 'However little it was: if you drank, do not drive.',
  },
  period: { day: 'on any one day', week: 'a week', occasion: 'on one occasion', '': '' } as Record<string, string>,

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
    swap: (line: string) => `Swap one line: ${line}`,
    whichLine: 'Which line',
    asWritten: 'as written',
    left: (ml: string) => `${ml} left`,
    share: 'How much of the glass you drink',
    shareLess: 'Drink less of it',
    shareMore: 'Drink more of it',
    forSomeoneElse: 'made for someone else',
    brings: (drinks: string, total: string) => `${drinks} standard drinks\nbrings tonight to ${total}`,
    score: 'Score, 0 to 10 in halves; leave it empty if you like',
    scoreLabel: 'Score',
    scoreLess: 'Half a point less',
    scoreMore: 'Half a point more',
    scoreNone: 'none yet',
    scoreClear: 'Clear the score',
    flavour: 'Flavour',
    note: 'Note',
    notePlaceholder: 'sharper, longer, a touch loud …',
    when: 'When',
    now: 'now',
    earlier: 'Earlier',
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

  update: { here: 'A new version is here.', when: 'Reload when you are done; drafts are kept.', take: 'Reload' },

  pair: {
    title: 'Pair this device',
    code: 'Code',
    where: 'Twelve letters and digits, as the server printed them. A code works once.',
    name: 'Name of this device',
    names: { phone: 'Phone', tablet: 'Tablet', laptop: 'Laptop' },
    act: 'Pair',
    asking: 'Asking the server to let this device in.',
    already: (account: string) => `Now signed in to ${account}.`,
    refused: (code: string): string => pairRefusals[code] ?? 'The server would not let this device in. Ask for a new code and try again.',
    carry: 'Links open here in the browser, but the app on the Home Screen keeps a store of its own. So type this code there:',
    copy: 'Copy the code',
    copied: 'Copied',
    steps: ['Tap Share, then “Add to Home Screen”.', 'Open Fair Measure from the Home Screen.', 'In Keeper, choose “Pair this device” and enter the code.'],
  },
};

const unitWords: Record<string, readonly [string, string]> = {
  ml: ['ml', 'ml'], cl: ['cl', 'cl'], l: ['l', 'l'], oz: ['oz', 'oz'], dash: ['dash', 'dashes'], drop: ['drop', 'drops'], barspoon: ['barspoon', 'barspoons'],
  teaspoon: ['teaspoon', 'teaspoons'], tablespoon: ['tablespoon', 'tablespoons'], cup: ['cup', 'cups'], part: ['part', 'parts'], splash: ['splash', 'splashes'],
  jigger: ['jigger', 'jiggers'], pony: ['pony', 'ponies'], piece: ['', ''], fruit: ['fruit', 'fruits'], cube: ['cube', 'cubes'], g: ['g', 'g'],
  top: ['top', 'top'], rinse: ['rinse', 'rinse'], float: ['float', 'float'], taste: ['to taste', 'to taste'],
};

const methodWords: Record<string, string> = {
  stirred: 'stirred', shaken: 'shaken', built: 'built over ice', long: 'built long', thrown: 'thrown', swizzled: 'swizzled', flash: 'flash-blended',
  blended: 'blended', whipped: 'whip-shaken', dry: 'shaken without ice', freezer: 'freezer-batched', neat: 'neat', carbonated: 'carbonated',
};

/** The methods in the order a person meets them. */
export const methods = ['shaken', 'stirred', 'built', 'long', 'thrown', 'swizzled', 'flash', 'blended', 'whipped', 'dry', 'freezer', 'carbonated', 'neat'] as const;

const pairRefusals: Readonly<Record<string, string>> = {
  '': 'The server did not answer. The code is not used up; try again when there is signal.',
  code_unreadable: 'That is not a whole code: it has twelve letters and digits, with or without the dashes.',
  code_unknown: 'This code was never given out, was mistyped, or has been used. Ask for a new one.',
  code_expired: 'This code is too old. Ask for a new one.',
  name: 'The name is too long, or has signs that cannot be printed: up to 60 characters.',
  too_many_tries: 'Too many wrong codes from this address. Wait an hour, then ask for a new one.',
  busy: 'The server is busy. Wait a moment and try again.',
};
