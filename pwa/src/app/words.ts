/** Every sentence a person reads. Rooms add their own block; nothing is worded anywhere else. */
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
  },
  unsent: (n: number) => `${n} not yet sent.`,
  unsentShort: (n: number) => `${n} not yet sent`,
  keptHere: 'Kept on this device.',
  stopped: (code: string | null): { what: string; then: string } => {
    const [what, then] = stopped[code ?? ''] ?? [`Syncing stopped (${code}).`, 'Everything stays on this device.'];
    return { what, then };
  },
  unsentKept: (n: number) => (n === 0 ? 'Everything was sent before.' : `${n} not yet sent, kept on this device.`),
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
  about: (n: string) => `about ${n}`,
  or: (a: string, b: string) => `${a} or ${b}`,
  orValue: (value: string) => `or ${value}`,
  openAmount: 'amount open',
  changedLine: 'changed',
  minutes: (n: number) => `${n} min`,
  days: (n: string) => `${n} days`,
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
      curve:
        'Ice melt is worked out from the strength by a published curve, not weighed: give or take a quarter. Weigh one and the band closes.',
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
      case 'raw_egg':
        return 'Raw egg: alcohol and citrus do not make it safe. Pasteurised egg is the careful choice for guests who are pregnant, old, very young or ill.';
      default:
        return list ? `${code}: ${list}` : code;
    }
  },

  catchingUp: { title: 'Catching up.', text: 'Your journal is on its way from the server.' },

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
    pour: 'Pour',
    poured: (name: string) => `${name}, poured. Saved`,
    emptyTitle: 'Nothing poured yet.',
    empty: 'Pours, water and running totals stand here for the evening.',
    noScore: 'no score yet',
    benchmark: 'benchmark',
    shareOf: (share: string) =>
      share === '½' ? 'half the glass' : share === 'whole' ? 'the whole glass' : `${share} of the glass`,
    home: 'However little it was: if you drank, do not drive. The morning after counts too.',
    total: (n: string, grams: string) => `${n} standard drinks, ${grams} of alcohol`,
    ended: (since: string, until: string) => `Ended: ${since === until ? since : `${since} to ${until}`}`,
    quietEmpty: 'What you pour stands here, with or without alcohol.',
    quietShow: 'Show what tonight came to',
    quietAway: 'Take it along, or leave',
    without: 'Without alcohol',
  },

  /** The smallest pourable change that brings figures into range. */
  adjust: {
    title: 'What to change',
    what: (labels: readonly string[]) =>
      `Outside the usual range: ${labels.join(', ').toLowerCase()}. The smallest change of one line, or two, that brings ${labels.length === 1 ? 'it' : 'them'} in:`,
    act: 'Find a change',
    more: 'Look again, more alcohol too',
    change: (name: string, from: string, to: string, up: boolean) =>
      `${name}: ${to} for ${from}, ${up ? 'more' : 'less'} of it`,
    none: 'No small change of one or two lines does it.',
    noneWithout: 'No small change of one or two lines does it without adding alcohol.',
    failed: 'That could not be worked out. Try again.',
    step: (ml: string) =>
      `Tried in steps of ${ml}. The range is where one author’s drinks lie, from memory: yours may well be elsewhere.`,
    figure: 'In the glass',
    now: 'now',
    then: 'then',
    usual: 'usual',
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
    toWhen: 'Not just now? Record it first, then change when it was in the Journal.',
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

  // ---- the journal and one pour
  journal: {
    unit: (grams: string, country: string) => `standard drinks, ${grams} g each, ${country}`,
    session: (since: string, until: string) => (since === until ? since : `${since} to ${until}`),
    older: 'Show earlier days',
    emptyTitle: 'No pours yet.',
    empty: 'What you pour is kept here by day, with what was in the glass.',
    pours: (n: number) => (n === 1 ? 'one pour' : `${n} pours`),
    counting: 'Older totals are still being counted.',
    list: 'Pours by day',
    newest: 'The newest pour',
    act: 'Pour something',
  },
  pour: {
    inGlass: 'In the glass',
    drunkOf: (drinks: string, grams: string) => `${drinks} standard drinks, ${grams} of alcohol`,
    strength: (n: string) => `${n} vol`,
    when: 'When',
    session: 'Its session',
    sessionSaved: 'Its session is as you said. Saved',
    sessionMark: {
      '': 'by the clock: within four hours of the one before',
      split: 'begins a new one',
      join: 'belongs with the one before',
    },
    whenChange: 'Change when it was drunk',
    whenSaved: 'Time changed. Saved',
    what: 'What it was',
    whatChange: 'Correct what it was',
    noteSave: 'Save note',
    noteSaved: 'Note. Saved',
    scoreSaved: 'Score. Saved',
    shareSaved: 'How much you drank. Saved',
    tagsSaved: 'Flavour. Saved',
    again: 'The same once more',
    openSpec: 'Open its spec',
    asWas: 'This is what was in the glass then. Nothing done to the spec since changes it.',
    noLines: 'What was in it was written by a newer version of the app.',
    delete: 'Delete this pour',
    deleted: (name: string) => `${name}, deleted.`,
    clash: (n: number) => (n === 1 ? 'Two values for one thing.' : `Two values for ${n} things.`),
    clashWhy: 'Changed apart on two devices; both are kept.',
    choose: 'Choose',
    deletedTitle: 'Deleted on one device, changed on another.',
    deletedWhy: 'It stays until you say.',
    keep: 'Keep it',
    kept: 'Kept. Saved',
    drop: 'Delete it',
  },

  // ---- specs
  specs: {
    act: 'Write a spec',
    count: (drinks: number, specs: number) =>
      `${drinks === 1 ? 'one drink' : `${drinks} drinks`}, ${specs === 1 ? 'one spec' : `${specs} specs`}`,
    emptyTitle: 'No spec yet.',
    empty:
      'A spec is one exact version of a drink: its lines, how it is iced, the glass. Write one and see at once how it balances.',
    list: 'Drinks and their specs',
    loose: 'Without a drink',
    compare: 'Compare side by side',
    poured: (n: number) =>
      n === 0 ? 'not poured yet' : n === 1 ? 'poured once' : n === 2 ? 'poured twice' : `poured ${n} times`,
    scored: (score: string, poured: string) => `best ${score}, ${poured}`,
    last: (day: string) => `last ${day}`,
    benchmark: 'benchmark',
  },
  spec: {
    pour: 'Pour this',
    unnamed: 'Without a name',
    lines: 'Lines',
    changeLine: (line: string) => `Change ${line}`,
    lineLabel: 'The line, as you would say it',
    lineSaved: 'Line. Saved',
    lineRiff: 'This spec has been poured, so the change became a riff of it. Saved',
    pouredBefore: (n: number) =>
      `${n === 1 ? 'One glass was' : `${n} glasses were`} made from this spec. A change makes a riff; what was in those glasses stays either way.`,
    slip: 'It only corrects a slip in writing; no riff',
    field: {
      method: 'Method',
      ice: 'Ice',
      glass: 'Glass',
      garnish: 'Garnish',
      name: 'Name of this version',
      note: 'Note',
    } as Record<string, string>,
    changeField: (field: string, value: string) => `${field}: ${value}. Change`,
    none: 'none',
    unset: '–',
    fieldSaved: (field: string) => `${field}. Saved`,
    alcohol: (drinks: string, grams: string) => `One whole glass: ${drinks} standard drinks, ${grams} of alcohol`,
    cost: (cost: string, partial: boolean) =>
      `${partial ? 'at least ' : ''}${cost} a glass, by the prices of your bottles`,
    riffs: 'This drink’s versions',
    rename: 'Rename this version',
    makeBenchmark: 'Make it the benchmark',
    madeBenchmark: 'Now the benchmark. Saved',
    riff: 'Write a riff',
    edit: 'Change the whole spec',
    share: 'Share as text',
    shared: 'Copied. Paste it where you like.',
    print: 'Print',
    delete: 'Delete this spec',
    deleted: 'Spec, deleted. Its pours stay.',
    clash: (names: string) => `Two values for ${names}.`,
    clashFrom: (devices: string) => (devices ? `From ${devices}.` : 'Changed apart on two devices.'),
    and: (a: string, b: string) => `${a} and ${b}`,
    noteHeading: 'Note',
    noteAdd: 'Add a note',
    noteChange: 'Change the note',
    more: 'More',
  },

  // ---- writing a spec
  editor: {
    titleNew: 'New spec',
    titleEdit: 'Change the spec',
    titleRiff: 'New riff',
    riffOf: (name: string) => `from ${name}; its lines are copied here`,
    act: 'Save spec',
    drink: 'Drink',
    drinkHelp: 'A name you have already, or a new one. Leave it empty for a spec by itself.',
    drinkHere: (name: string) => `A version of ${name}.`,
    drinkNew: 'A new drink. This will be its benchmark.',
    name: 'Name of this version',
    nameHelp: 'What sets it apart: “soft floral gin”, “less honey”. May stay empty.',
    lines: 'Lines, one measured thing in each',
    linesHelp:
      'Amount, unit, name: 45 ml gin, 44 % · ¾ oz lemon juice · 2 dashes bitters · top with soda. Enter begins the next line.',
    line: (n: number) => `Line ${n}`,
    addLine: 'Add a line',
    removeLine: (n: number) => `Remove line ${n}`,
    example: ['45 ml gin, 44 %', '¾ oz lemon juice', '22,5 ml honey syrup', '2 dashes bitters', 'top with soda'],
    reading: (line: string, ml: string) => (ml === '' ? line : `${line} · ${ml}`),
    proof: (text: string, abv: string) => `${text} (${abv} vol)`,
    again: 'Write it again',
    method: 'Method',
    ice: 'Ice',
    glass: 'Glass',
    garnish: 'Garnish',
    note: 'Note',
    part: 'With lines in parts: all of them together, before ice, in ml',
    partBad: (came: string) => `Expected millilitres above 0, such as 90; got “${came}”.`,
    nothing: 'Expected at least one line.',
    linesWrong: (n: number) => (n === 1 ? 'One line cannot be read yet.' : `${n} lines cannot be read yet.`),
    live: 'In the glass, as typed so far',
    livePrompt: 'Type the first line and the balance appears here.',
    glassOf: (drinks: string, grams: string) => `One whole glass: ${drinks} standard drinks, ${grams} of alcohol`,
    pouredTitle: (n: number) => `Poured ${n === 1 ? 'once' : `${n} times`}.`,
    pouredWhy: 'What was in those glasses stays as it was. To try something new, write a riff.',
    slip: 'This corrects a slip in writing',
    needSlip: 'Say that it corrects a slip, or write a riff instead.',
    saved: 'Spec. Saved',
    ices: ['cubes', 'large cube', 'crushed', 'cracked', 'none'],
    glasses: ['coupe', 'stem glass', 'rocks glass', 'highball', 'tumbler', 'flute'],
    unset: 'not chosen',
  },

  // ---- what a chosen glass would bring a total to
  guide: {
    published: (n: string, above: boolean, limit: string, group: string, issuer: string, year: number) =>
      `${n} ${above ? 'is above the' : 'reaches the'} ${limit} of the guidance${group && ` ${group}`} (${issuer}, ${year}).`,
    own: (n: string, above: boolean, limit: string) => `${n} ${above ? 'is above' : 'reaches'} your own ${limit}.`,
  },

  // ---- the week
  week: {
    span: (from: string, to: string) => `${from} to ${to}`,
    today: (day: string) => `today is ${day}`,
    lastSeven: 'Last seven days',
    thisWeek: 'This week so far',
    grams: (grams: string, rest: string) => `${grams} · ${rest}`,
    from: (day: string) => `from ${day}`,
    session: 'This session',
    sessionSub: (grams: string, pours: string) => `${grams} · ${pours}`,
    mean: 'Four-week mean',
    meanSub: (grams: string) => `${grams} a week`,
    byDay: (grams: string, country: string) => `Standard drinks by day, ${grams} g each (${country})`,
    gramsByDay: (country: string) => `Grams of alcohol by day (${country})`,
    chart: (days: string) => `Bars by day: ${days}. The same figures stand in the table.`,
    none: 'none',
    dash: '–',
    key: '“None” is confirmed by you. A dash is nothing logged, which is not the same.',
    line: (limit: string, what: string) => `${limit} ${what}`,
    ofGroup: (text: string, group: string) => `${text}, ${group}`,
    onDay: 'on any one day',
    ownDay: 'a day, your own',
    table: 'Day by day',
    day: 'Day',
    what: 'What',
    gramsHead: 'Grams',
    drinksHead: 'Drinks',
    free: 'no alcohol, confirmed',
    nothing: 'nothing logged',
    nothingYet: 'nothing logged so far',
    someOf: (name: string, n: number) => (n === 1 ? name : `${n} × ${name}`),
    weekRow: (day: string) => `This week, from ${day}`,
    mark: 'Confirm none',
    markLabel: (day: string) => `Confirm ${day} as a day without alcohol`,
    marked: (day: string) => `${day} confirmed as without alcohol. Saved`,
    unmark: 'Take back',
    unmarkLabel: (day: string) => `Take back that ${day} was without alcohol`,
    unmarked: (day: string) => `${day} is open again. Saved`,
    emptyTitle: 'Nothing logged this week.',
    empty: 'That is not the same as no alcohol. Mark a day yourself, below, if you want it counted as such.',
    dayRuns: (from: string) => `A day runs from ${from} to ${from}.`,
    guidance: 'Guidance',
    checked: (when: string) =>
      `Compared with its issuers in ${when}. The less, the lower the risk. For healthy adults; not medical advice.`,
    noGuidance: 'No guidance with a number is known for this country. The less, the lower the risk.',
    atLeast: 'A strength is unknown, so these are the least they can be.',
    caution: 'Caution.',
    cautionWhy: 'More than this raises the risk of disease and injury.',
    above: (span: string, limit: string) => `${span} above ${limit}`,
    at: (span: string, limit: string) => `${span} at ${limit}`,
    spanOf: {
      week: 'The last seven days are',
      day: 'The fullest day is',
      occasion: 'One session is',
      two_hours: 'Two hours of one session are',
      '': 'The total is',
    } as Record<string, string>,
    comparator: { at_most: 'At most', less_than: 'Less than', own: 'At most' } as Record<string, string>,
    guide: (how: string, limit: string, unit: string, period: string) => `${how} ${limit} ${unit} ${period}`,
    guideMore: (limit: string, unit: string, period: string, what: string) =>
      `${limit} ${unit} or more ${period}: ${what}`,
    moreIs: {
      clinical: 'risk use, a line for care staff',
      definition: 'a pattern of risk, not advice',
      '': 'the issuer speaks of risk',
    } as Record<string, string>,
    band: (band: string) =>
      /^\d/.test(band)
        ? `The last seven days lie in its band of ${band.replace('-', '–')} drinks a week`
        : `The last seven days lie in its band “${band}”`,
    noNumber: (period: string) => {
      const of: Record<string, string> = { day: ' for one day', week: ' for a week', occasion: ' for one occasion' };
      return `No number is given${of[period] ?? ''}; the less, the lower the risk`;
    },
    period: {
      day: 'on any one day',
      week: 'a week',
      occasion: 'on one occasion',
      two_hours: 'in about two hours',
      '': '',
    } as Record<string, string>,
    unit: (unit: string, n: number) => {
      if (unit === 'g') return 'g of alcohol';
      const one = unit === 'unit' ? 'unit' : 'standard drink';
      return n === 1 ? one : `${one}s`;
    },
    issued: (issuer: string, year: number) => `${issuer}, ${year}`,
    own: 'your own limit',
    status: {
      current_dated: 'old, nothing newer found',
      current_under_review: 'being reviewed',
      definition: 'a definition, not advice',
      clinical: 'for care staff',
    } as Record<string, string>,
    group: (group: string) => (group === '' || group === 'adults' || group === 'everyone' ? '' : `for ${group}`),
    both: 'This issuer splits its lines. Both are shown; the lower one leads the caution.',
    stands: (amount: string, state: string) => `${amount}: ${state}`,
    stateWord: { below: 'below it', at: 'at it', above: 'above it' } as Record<string, string>,
    spread: (days: number) => `Its advice is to spread such an amount over ${days} days or more; it was on fewer.`,
    notOnFile: (country: string) =>
      `No guidance is on file for ${country}; what follows is the World Health Organization’s.`,
    unitNotOnFile: (country: string, grams: string) =>
      `No standard drink is on file for ${country}: counted in units of ${grams} g, as the World Health Organization does.`,
    checkedOld: (when: string) =>
      `Compared with its issuers in ${when}, which is over 18 months ago: there may be newer guidance.`,
    sevenByDay: 'Last seven days',
    weekByDay: (name: string) => `This week, ${name}`,
    counts: (drinking: number, free: number, nothing: number) =>
      `Of the last seven days: alcohol on ${drinking}, confirmed without on ${free}, nothing logged on ${nothing}.`,
    sessions: 'Sessions',
    sessionPours: (n: number) => (n === 1 ? 'one pour' : `${n} pours`),
    sessionPace: (n: string) => `${n} an hour, a rough upper figure`,
    sessionPeak: (n: string) => `at most ${n} in any two hours`,
    binge:
      'The US institute on alcohol abuse (NIAAA) calls 5 drinks for men, or 4 for women, in about two hours a binge: a definition, not advice.',
    more: 'More of it',
    four: 'Four weeks',
    fourWhat: 'Week by week, with the mean.',
    year: 'A year',
    yearWhat: 'Fifty-two weeks and this one.',
    helpPage: 'Help, and who to ask',
    helpPageWhat: 'When it is a lot, when it is an emergency, and kinds of help.',
    takeTitle: 'Print or take along',
    takeWhat: 'What is shown here as a page to print, or days and pours as a table (CSV) for a spreadsheet.',
    takeSpan: 'Span',
    takeSpans: { '7': 'last seven days', '28': 'four weeks', '371': 'a year' } as Record<string, string>,
    takeOf: 'One row for each',
    takeOfs: { days: 'day', pours: 'pour' } as Record<string, string>,
    takeMake: 'Make the table',
    takeSave: (name: string) => `Save ${name}`,
    takeFailed: 'The table could not be made. Try again.',
    print: 'Print this',
    quiet: 'The week is shown only when you ask for it.',
    quietShow: 'Show the week',
  },
  /** Week by week. */
  trend: {
    title: { 4: 'Four weeks', 53: 'A year' } as Record<number, string>,
    chart: (weeks: string) => `Bars by week: ${weeks}. The same figures stand in the table.`,
    byWeek: (grams: string, country: string) => `Standard drinks by week, ${grams} g each (${country})`,
    week: 'Week',
    from: 'From',
    mean: 'Mean of a week',
    meanOver: 'Over the complete weeks since your first pour. Weeks with nothing logged count as nothing.',
    running: 'running',
    line: (limit: string) => `${limit} a week`,
    empty: 'Nothing logged in these weeks. That is not the same as no alcohol.',
    days: (drinking: number, free: number, nothing: number) => `${drinking} · ${free} · ${nothing}`,
    daysHead: 'Days',
    daysKey: 'Days: with alcohol · confirmed without · nothing logged.',
    back: 'To the week',
  },
  /** The medical caution, wherever the totals are high; and the kinds of help. */
  medical: {
    title: 'Before you cut down',
    stop: 'Your days come to so much alcohol that stopping suddenly can be dangerous: shaking, sweating, seizures or seeing things can begin within a day, and can kill. Talk to a doctor before you cut down. Seizures or confusion are an emergency: call for help.',
    more: 'Kinds of help',
  },
  helping: {
    title: 'Help, and who to ask',
    emergency: 'An emergency',
    emergencyText: [
      'Someone who cannot be woken, breathes slowly or unevenly, has cold or bluish skin, or vomits without waking: call the emergency number, lay them on their side, and stay with them.',
      'After stopping to drink: seizures, confusion, seeing or hearing what is not there: call the emergency number.',
      'Blurred vision after spirit of unknown origin: to a hospital at once.',
    ],
    stopping: 'Cutting down',
    stoppingText: [
      'Anyone who drinks a lot every day should not stop suddenly without medical help. Signs begin some six to twenty-four hours after the last drink. Who regularly has 15 UK units a day or more (118 g) should see a doctor first (Alcohol Change UK; NHS Gateshead).',
      'With smaller amounts, drinks without alcohol are kept here like any other, and Keeper has a quiet switch.',
    ],
    nothing: 'Nothing speeds it up',
    nothingText: [
      'Coffee, cold water, fresh air and food afterwards do not clear alcohol any faster. Feeling fine is no sign. The morning after counts too.',
    ],
    none: 'None at all',
    noneText: [
      'In pregnancy, when planning one, and while breastfeeding; under the legal age where you are; before driving, machinery, heights, swimming, or looking after others.',
      'With many medicines: for sleep, pain, mood, allergies, diabetes, clotting and more. Ask a pharmacist.',
      'With illness of liver or pancreas, after dependence, or where alcohol flushes the face: less, or none.',
    ],
    kinds: 'Kinds of help',
    kindList: [
      'The emergency number, for the signs above.',
      'A family doctor: for advice, tests, and a safe way to cut down.',
      'A pharmacist: whether a medicine goes with alcohol.',
      'A national helpline for alcohol, where there is one.',
      'A local alcohol service.',
      'Groups of people who help each other.',
      'Help for families and friends; their trouble counts as well.',
    ],
    numbers: 'On file for your country',
    lines: {
      US: ['SAMHSA National Helpline: 1-800-662-4357, free, confidential, day and night.'],
      AU: ['National Alcohol and Other Drug Hotline: 1800 250 015.'],
      NZ: ['Alcohol Drug Helpline: 0800 787 797, or text 8681; free, day and night.'],
      IE: ['HSE Drugs and Alcohol Helpline: 1800 459 459, on weekdays.'],
      GB: ['Your GP, NHS 111, or the alcohol service of where you live.'],
      CA: [
        'Each province runs its own service; none is national. 9-8-8 is the line for thoughts of suicide, not for alcohol.',
      ],
    } as Record<string, readonly string[]>,
    noLine: 'No number is on file for your country. Your doctor or pharmacist knows one.',
    checked: 'Numbers checked in November 2026; they change. If one fails, ask a doctor or pharmacist.',
  },

  // ---- bottles
  bottles: {
    act: 'Add a bottle',
    sub: (n: number) => (n === 1 ? 'one bottle' : `${n} bottles`),
    emptyTitle: 'No bottle yet.',
    empty: 'What stands on your shelf: its size, its price, what is left after your pours.',
    list: 'On the shelf',
    finishedList: 'Finished',
    left: (ml: string) => `${ml} left`,
    ofSize: (left: string, size: string) => `${left} left of ${size}`,
    leftUnknown: '– left unknown',
    giveTitle: 'To give away',
    giveLine: (name: string, left: string) => `${name}: ${left}`,
    giveCopy: 'Copy the list',
    giveCopied: 'Copied',
    opened: (day: string) => `opened ${day}`,
    unopened: 'not opened',
    finished: (day: string) => `finished ${day}`,
    addTitle: 'A bottle',
    name: 'What is in it',
    namePlaceholder: 'soft floral gin',
    needName: 'Say what is in it.',
    size: 'Size, ml',
    needSize: (came: string) => `Expected millilitres above 0, such as 700; got “${came}”.`,
    strength: 'Strength, % vol',
    strengthHelp: 'Empty means unknown, not none.',
    needStrength: (came: string) => `Expected a strength from 0 to 100; got “${came}”.`,
    price: 'Price paid',
    needPrice: (came: string) => `Expected a price such as 28.90; got “${came}”.`,
    currency: 'Currency',
    needCurrency: (came: string) => `Expected three letters such as EUR; got “${came}”.`,
    openedOn: 'Opened on',
    save: 'Save bottle',
    saved: (name: string) => `${name}, on the shelf. Saved`,
    manage: (name: string) => `${name}: change`,
    change: 'Change',
    stock: 'What is left now, ml',
    stockSave: 'Save what is left',
    stockSaved: 'What is left. Saved',
    openToday: 'Opened today',
    openSaved: 'Opened. Saved',
    finish: 'It is empty',
    finishSaved: 'Finished. Saved',
    unfinish: 'Not empty after all',
    delete: 'Delete this bottle',
    deleted: (name: string) => `${name}, deleted.`,
    dateBad: 'Expected a day that has come.',
  },

  // ---- side by side
  side: {
    sub: 'How each version was scored, every score one mark from 0 to 10',
    tasted: (n: number) =>
      n === 0 ? 'not scored yet' : n === 1 ? 'scored once' : n === 2 ? 'scored twice' : `scored ${n} times`,
    scores: (list: string) => `scores ${list}`,
    emptyTitle: 'Nothing to compare yet.',
    empty: 'Write a riff of a spec, pour both, give each a score: then they stand here side by side.',
    toSpecs: 'Go to specs',
    honest: 'Scores given on different evenings are shown as they were given. A few scores decide little.',
    last: (day: string) => `last ${day}`,
  },

  // ---- keeper
  keeper: {
    sync: 'Syncing',
    states: {
      local: 'Everything is on this device only.',
      synced: 'This device and the server agree.',
      unsent: 'Some of it is not yet on the server.',
      catching_up: 'Fetching what other devices wrote.',
      comparing: 'Comparing everything with the server, to be sure.',
      stopped: 'Syncing has stopped.',
      offline: 'No signal. Everything works; it is sent later.',
    } as Record<string, string>,
    lastSync: (when: string) => `Last agreed ${when}.`,
    neverSync: 'Never agreed with a server yet.',
    now: 'Sync now',
    code: (code: string, when: string) => (when ? `Code: ${code} · ${when}` : `Code: ${code}`),
    clock: (span: string, ahead: boolean) =>
      `This device’s clock is ${span} ${ahead ? 'ahead of' : 'behind'} the server’s.`,
    account: (name: string, device: string) => `Signed in to ${name} as ${device}.`,
    unpaired: 'This device belongs to no server yet. What you write stays here until you pair it.',
    pair: 'Pair this device',
    pairAgain: 'Pair again',
    apart: (n: number) =>
      `${n === 1 ? 'One entry' : `${n} entries`} written here before pairing lie in a journal of their own; kept, not shown.`,
    devices: 'Devices',
    devicesOffline: 'The list comes from the server; there is no answer just now.',
    devicesAsk: 'Ask the server',
    thisDevice: 'this device',
    seen: (when: string) => `last seen ${when}`,
    ended: (end: string) => (end === 'revoked' ? 'removed' : end === 'signed_out' ? 'signed out' : 'ended'),
    remove: 'Remove',
    removeLabel: (name: string) => `Remove ${name}`,
    removeSure: (name: string) => `Remove ${name}? It keeps what it has, but can fetch and send nothing any more.`,
    removeYes: 'Remove it',
    removeFailed: 'The server did not take it. Try again when there is signal.',
    clashes: 'Two values',
    noClashes: 'Nothing waits to be chosen.',
    look: 'Needs a look',
    noLook: 'Nothing.',
    lookWhy: {
      deleted_changed: 'deleted on one device, changed on another',
      deleted_restored: 'deleted on one device, brought back on another',
      fragment: 'only a part of it is here',
      line_in_deleted_spec: 'a line was added while its spec was deleted',
      spec_missing: 'its spec is not on this device',
      ingredient_deleted: 'its ingredient is deleted',
      ingredient_missing: 'its ingredient is not on this device',
      drink_deleted: 'its drink is deleted',
      drink_missing: 'its drink is not on this device',
      benchmark_deleted: 'its benchmark is deleted',
      benchmark_missing: 'its benchmark is not on this device',
      in_the_future: 'its time has not come yet',
    } as Record<string, string>,
    trash: 'Trash',
    noTrash: 'Empty.',
    trashed: (kind: string, day: string) => `${kind}, deleted ${day}`,
    restore: 'Bring back',
    restoreLabel: (title: string) => `Bring back ${title}`,
    restored: (title: string) => `${title}, brought back. Saved`,
    erase: 'Erase',
    eraseLabel: (title: string) => `Erase ${title} for good`,
    eraseSure: (title: string) => `Erase ${title} for good, on every device? It cannot be brought back.`,
    eraseYes: 'Erase for good',
    erased: (title: string) => `${title}, erased.`,
    settings: 'Settings',
    country: 'Country, for standard drinks and guidance',
    countryOption: (name: string, grams: string) => `${name}: ${grams} g`,
    units: 'Measures',
    unitOption: { ml: 'millilitres', oz: 'ounces' } as Record<string, string>,
    oz: 'Ounce',
    ozOption: {
      bar: 'bar ounce, 30 ml',
      us: 'US fluid ounce, 29.57 ml',
      imperial: 'imperial fluid ounce, 28.41 ml',
    } as Record<string, string>,
    ozHelp: 'For lines typed from now on; those already written keep theirs.',
    dayStart: 'A day begins at',
    weekStart: 'A week begins on',
    weekOption: { iso: 'Monday', sun: 'Sunday', sat: 'Saturday' } as Record<string, string>,
    ownDay: 'Your own limit a day, in standard drinks',
    ownWeek: 'Your own limit a week, in standard drinks',
    ownSure: 'Set it all the same',
    ownAbove: (why: string) =>
      `${why.charAt(0).toUpperCase()}${why.slice(1)}. A limit of your own is meant to be lower.`,
    quiet: 'Quiet',
    quietOption: { off: 'as usual', on: 'without alcohol first' } as Record<string, string>,
    quietHelp:
      'For who drinks less, or stops: Tonight opens on drinks without alcohol, nothing is suggested to taste, and totals are shown only when you ask.',
    ownHelp: 'Shown as a line beside the published one. Empty for none.',
    ownBad: (came: string) => `Expected a number such as 2 or 7.5; got “${came}”.`,
    set: 'Saved',
    show: 'On this device',
    theme: 'Colours',
    themeOption: { system: 'as the system says', dark: 'dark', light: 'light' } as Record<string, string>,
    hand: 'Buttons',
    handOption: { right: 'for the right hand', left: 'for the left hand' } as Record<string, string>,
    kept: {
      yes: 'The browser promised to keep what is here.',
      no: 'The browser did not promise to keep what is here; it may clear it when space is short. Sync often, or add the app to the Home Screen.',
      unknown: 'Not asked yet; it is asked at the first save.',
    },
    askKeep: 'Ask the browser to keep it',
    counts: (drinks: number, specs: number, pours: number, bottles: number) =>
      `${drinks} drinks, ${specs} specs, ${pours} pours, ${bottles} bottles.`,
    cautions: 'Cautions',
    cautionList: [
      'For adults.',
      'Never use it to decide on driving or machinery. However little it was: if you drank, do not drive.',
      'It counts what you write down; glasses are often fuller than they look. It never says how much would still be all right.',
      'Guidance is the public body’s, named with its year. Local law comes first. Not medical advice.',
      'Raw egg, nuts, milk and home infusions carry their own risks; the caution stands beside the glass where it is known.',
    ],
    about: 'About',
    version: (version: string) => `Fair Measure ${version}`,
    kind: {
      pour: 'pour',
      spec: 'spec',
      line: 'line',
      drink: 'drink',
      bottle: 'bottle',
      ingredient: 'ingredient',
      plain: 'plain drink',
      level: 'stock-take',
      water: 'water',
      tag: 'flavour term',
      day: 'day',
      set: 'setting',
    } as Record<string, string>,
  },

  // ---- taking it along
  exporting: {
    title: 'Export',
    what: 'One JSON file with everything on this device, sent or not. It is made here; no signal is needed.',
    apart: (n: number) =>
      n === 1
        ? 'The entry kept apart goes into a file of its own.'
        : `The ${n} entries kept apart go into files of their own.`,
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

  // ---- leaving
  leaving: {
    title: 'Sign out',
    titleLocal: 'Erase',
    what: 'Signed out, this device sends and fetches nothing. Keep what is here, or erase it.',
    whatOut: 'Signed out already. What is here can be erased.',
    whatLocal: 'Everything here is on this device only.',
    unsent: (n: number) => (n === 1 ? 'One entry was not sent yet.' : `${n} entries were not sent yet.`),
    elsewhere: (n: number) =>
      `${n === 1 ? 'One entry' : `${n} entries`} of another account on this device ${n === 1 ? 'was' : 'were'} not sent yet. Erasing takes ${n === 1 ? 'it' : 'them'} away too; signing in to that account first sends ${n === 1 ? 'it' : 'them'}.`,
    allSent: 'Everything was sent.',
    exportFirst: 'Export first',
    keep: 'Sign out, keep what is here',
    keepSure: 'Sign this device out? What is here stays and can be read and written on. To send it later, pair again.',
    keepYes: 'Sign out',
    erase: 'Sign out and erase',
    eraseOut: 'Erase this device',
    eraseSure: (unsent: number) =>
      unsent === 0
        ? 'Erase everything on this device? The server keeps what it has.'
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
    erased: 'Erased',
    erasedText: 'Nothing of the journal is left on this device.',
    erasedUntold: 'The server did not answer, so it may still list this device. Remove it there from another device.',
    again: 'Begin again',
  },

  // ---- two values
  clash: {
    title: 'Two values',
    sub: (n: number) => (n === 1 ? 'changed apart on two devices' : `${n} things changed apart on two devices`),
    calm: 'Nothing is lost.',
    calmWhy: 'One shows until you choose; there is no hurry.',
    shown: 'shows now',
    choose: 'Choose',
    chooseLabel: (value: string) => `Choose ${value}`,
    chosen: 'Chosen. Saved',
    both: 'Keep both',
    bothNotes: 'Keep both notes',
    keptBoth: 'Both kept. Saved',
    onlyFirst: 'Only the first',
    onlySecond: 'Only the second',
    only: (n: number) => `Only number ${n}`,
    thisDevice: 'this device',
    cleared: 'cleared',
    quote: (text: string) => `“${text}”`,
    none: 'Nothing left to choose here.',
    ordinal: (n: number) => ['the first', 'the second', 'the third', 'the fourth'][n] ?? `number ${n + 1}`,
    acid: (list: string) => `Acid in the glass is ${list}.`,
    alcoholIs: (list: string) => `Alcohol in the glass is ${list}.`,
    alcoholSame: (grams: string) => `Alcohol is the same, ${grams}.`,
    withEach: (value: string, which: string) => `${value} with ${which}`,
    field: (kind: string, field: string): string =>
      fieldWords[`${kind}.${field}`] ??
      fieldWords[field] ??
      (field.startsWith('tag.') ? `flavour: ${field.slice(4).replaceAll('_', ' ')}` : field.replaceAll('_', ' ')),
    heading: (title: string, field: string) => `${title}: ${field}`,
    yes: 'yes',
    no: 'no',
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
    heading: 'Account',
    role: { owner: 'Owner of the server', member: 'Member' } as Record<string, string>,
    password: 'Change the password',
    passwordWhat: 'Used to sign in on another device.',
    setPassword: 'Set a password',
    noPassword: 'This account has no password yet. With one you can sign in even when no device is at hand.',
    undecided: 'Entries from before',
    undecidedWhat: (n: number) =>
      `${n === 1 ? 'One entry' : `${n} entries`} written here before signing in: bring along, or keep apart.`,
    apartWhat: (n: number) => `${n === 1 ? 'One entry' : `${n} entries`} kept apart here; can be brought along.`,
    signIns: 'Sign-ins and devices',
    signInsWhat: 'Who came in, from where, and what was changed.',
    household: 'Household',
    householdWhat: 'Who has an account on this server.',
    journal: 'This journal',
    settingsWhat: 'Country, measures, when a day begins, colours.',
    exportWhat: 'Everything as a file.',
    bringWhat: 'Entries from an exported file.',
    trashCount: (n: number) => (n === 0 ? 'Empty.' : n === 1 ? 'One thing deleted.' : `${n} things deleted.`),
    deleteWhat: 'The account and its journal, for good.',
    legal:
      'Nobody else’s account reads your journal, the owner’s neither. Whoever runs the machine can read its files.',

    rename: 'Rename',
    renameLabel: (name: string) => `Rename ${name}`,
    name: 'Name of the device',
    renameBad: 'The name is empty, too long, or has signs that cannot be printed: up to 60 characters.',
    renameFailed: 'The name was not changed: no answer from the server. Try again when there is signal.',
    from: (address: string) => `from ${address}`,
    added: (when: string) => `let in ${when}`,
    shut: 'shut: its sign-in was used from two places',
    shutMeans:
      'A sign-in is kept by one device only. This one came from two places, so a copy was made of it: by restoring a backup, or by someone else. Let the device in again if it is yours; if no backup was restored, change your password.',
    shutNotice: 'A device of yours was shut because its sign-in was used from two places.',
    shutNoticeLink: 'See it in Keeper',
    shutNoticeClose: 'Put away',
  },

  /** Keeper: who has an account on this server; for its owner. */
  household: {
    title: 'Household',
    private: 'Everyone’s journal is their own: nobody else’s account reads it, yours neither.',
    accounts: 'Accounts',
    you: 'you',
    role: { owner: 'owner', member: 'member' } as Record<string, string>,
    devices: (n: number) => (n === 0 ? 'no device' : n === 1 ? 'one device' : `${n} devices`),
    never: 'not seen yet',
    none: 'The list comes from the server; there is no answer just now.',
    notOwner: 'Only the owner of the server sees who has an account.',
    ask: 'Ask the server',
    invitations: 'Invitations',
    invitationsWhat:
      'An invitation makes one new account with a journal of its own. It is good once, for a day. The code is shown only now.',
    invite: 'Invite someone',
    how: 'They scan this with their camera, or open Fair Measure and type the code.',
    qr: 'Link of the invitation, to be scanned',
    code: 'Code',
    link: 'Link',
    until: (when: string) => `Good once, until ${when}.`,
    earlier: (when: string) => `An invitation from before, good until ${when}.`,
    cancel: 'End this invitation',
    cancelLabel: (when: string) => `End the invitation good until ${when}`,
    ended: 'The invitation is ended.',
    copy: 'Copy the link',
    copied: 'Copied',
    failed: (code: string): string =>
      invitingFailed[code] ?? 'The server did not take it. Try again when there is signal.',
  },

  /** Keeper: the audit of the account, one sentence an event. */
  signIns: {
    title: 'Sign-ins and devices',
    sub: 'newest first, kept for 90 days',
    none: 'Nothing in the last 90 days.',
    offline: 'The list comes from the server; there is no answer just now.',
    ask: 'Ask the server',
    earlier: 'Show earlier ones',
    list: 'What happened, newest first',
    unnamed: 'a device',
    told: (what: string, name: string): string => happened[what]?.(name) ?? `${what.replaceAll('_', ' ')}: ${name}`,
    plain: (what: string): string => happenedAt[what] ?? what.replaceAll('_', ' '),
    by: (name: string) => `by ${name}`,
    from: (address: string) => `from ${address}`,
  },

  /** Keeper: the end of an account. */
  deleting: {
    title: 'Delete everything',
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

  update: { here: 'A new version is here.', when: 'Reload when you are done; drafts are kept.', take: 'Reload' },

  /** Keeper: another device is let in from this one, and all others are removed. */
  adding: {
    act: 'Add a device',
    how: 'On the other device, scan this with its camera, or open Fair Measure and type the code.',
    qr: 'Link for the other device, to be scanned',
    code: 'Code',
    link: 'Link',
    good: (minutes: number) => `Good once, for ${minutes === 1 ? 'one more minute' : `${minutes} more minutes`}.`,
    earlier: (minutes: number) =>
      `A code asked for before is still good for ${minutes === 1 ? 'one more minute' : `${minutes} more minutes`}.`,
    cancel: 'End this code',
    waits: (name: string) => `A device called “${name}” shows a number: which one?`,
    number: 'Number on the other device',
    once: 'There is one try. If no such device is in front of you, refuse it.',
    confirm: 'Confirm',
    refuse: 'Refuse',
    letIn: (name: string) => `${name} is let in.`,
    refused: 'Refused. The code is used up.',
    over: 'This code is used or has run out.',
    failed: (code: string): string =>
      addingFailed[code] ?? 'The server did not take it. Try again when there is signal.',
    removeAll: 'Remove all other devices',
    removeAllSure: (n: number) =>
      `Remove ${n === 1 ? 'the other device' : `the ${n} other devices`}? What they have stays on them, but they can fetch and send nothing any more.`,
    removeAllYes: 'Remove them all',
  },

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
    signIn: {
      title: 'Sign in',
      act: 'Sign in',
      again: 'Sign in again',
      toPair: 'Enter a code',
      lost: 'Password lost? Whoever runs the server can make a code that lets you in.',
      notSetUp: 'If nobody has set the server up yet, open the link it printed when it was started.',
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

const addingFailed: Readonly<Record<string, string>> = {
  too_many_codes: 'Three codes are unused. End one of them, or wait until they run out.',
  number: 'That is not its number. The device was not let in, and the code is used up: ask for a new one.',
  code_expired: 'The code ran out meanwhile: ask for a new one.',
  no_code: 'That code is gone: ask for a new one.',
  not_waiting: 'That device waits no longer.',
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

const invitingFailed: Readonly<Record<string, string>> = {
  too_many_codes: 'Three invitations are unused. End one of them, or wait until they run out.',
  not_owner: 'Only the owner of the server can invite.',
  no_code: 'That invitation is gone already.',
};

/** What an account's audit tells, with the name of the device it is about. */
const happened: Readonly<Record<string, (name: string) => string>> = {
  set_up: (name) => `The server was set up on ${name}.`,
  signed_in: (name) => `${name} signed in with the password.`,
  sign_in_failed: (name) => `${name} tried to sign in with a wrong password.`,
  signed_out: (name) => `${name} signed out.`,
  joined: (name) => `The account was made on ${name}, with an invitation.`,
  admitted: (name) => `${name} was let in with a code.`,
  renamed: (name) => `A device is now called ${name}.`,
  revoked: (name) => `${name} was removed.`,
  reused: (name) => `${name} was shut: its sign-in was used from two places.`,
  password_changed: (name) => `The password was changed on ${name}.`,
  recovered: (name) => `The keeper of the server made a way back in for ${name}.`,
  invited: (name) => `An invitation was made on ${name}.`,
  invitation_ended: (name) => `An invitation was ended on ${name}.`,
};

/** The same, when no device is named. */
const happenedAt: Readonly<Record<string, string>> = {
  set_up: 'The server was set up.',
  signed_in: 'A device signed in with the password.',
  sign_in_failed: 'Someone tried to sign in with a wrong password.',
  signed_out: 'A device signed out.',
  joined: 'The account was made, with an invitation.',
  admitted: 'A device was let in with a code.',
  renamed: 'A device was renamed.',
  revoked: 'A device was removed.',
  reused: 'A device was shut: its sign-in was used from two places.',
  password_changed: 'The password was changed.',
  recovered: 'The keeper of the server made a way back in.',
  invited: 'An invitation was made.',
  invitation_ended: 'An invitation was ended.',
};

/** Why syncing stopped: what happened, and what to do. */
const stopped: Readonly<Record<string, readonly [string, string]>> = {
  '': ['Syncing stopped.', 'Everything stays on this device.'],
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
  malformed: [
    'The server could not read what was sent.',
    'Everything stays on this device. Reload the app, then try again.',
  ],
};

const fieldWords: Readonly<Record<string, string>> = {
  typed: 'amount and name',
  note: 'note',
  name: 'name',
  'pour.name': 'what it was',
  'plain.name': 'what it is',
  score_x10: 'score',
  share_bp: 'how much was drunk',
  at_ms: 'time',
  made: 'what was in the glass',
  before_mg: 'water measured',
  garnish: 'garnish',
  glass: 'glass',
  method: 'method',
  ice: 'ice',
  strain: 'strain',
  benchmark: 'benchmark',
  price_minor: 'price',
  opened_on: 'opened on',
  finished_on: 'finished on',
  size_ul: 'size',
  bottle: 'what is left',
  abv_bp: 'strength',
  sugar_mgl: 'sugar',
  acid_mgl: 'acid',
  value: 'setting',
  alcohol_free: 'without alcohol',
  ingredient: 'ingredient',
  pos: 'place',
  drink: 'drink',
  parent: 'riff of',
  about: 'size guessed',
  vol_ul: 'volume',
  family: 'family',
  part_ul: 'size of a part',
  total_ul: 'total of the parts',
  archived: 'put away',
};
