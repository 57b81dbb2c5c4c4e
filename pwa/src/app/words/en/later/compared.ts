/** What the scores of a comparison say. */
export const compared = {
  compared: {
    says: 'What the scores say',
    by: (d: string, lo: string, hi: string) => ` by about ${d} (likely between ${lo} and ${hi})`,
    say: (code: string, names: string, sure: string): string => {
      switch (code) {
        case 'ahead':
          return `${names} is ahead of your benchmark${sure}.`;
        case 'confirmed':
          return `${names} is better than your benchmark${sure}; a second flight confirmed it.`;
        case 'no_better':
          return 'Nothing tasted so far is shown to be better than your benchmark.';
        case 'needs_more':
          return `Not enough data to tell yet.${names === '' ? '' : ` Best so far: ${names}.`}`;
        case 'apart':
          return 'Some of these have never met in one flight, so they cannot be set against each other yet:';
        default:
          return 'Nothing is scored yet.';
      }
    },
    bestSoFar: (names: string, d: string, sure: string) =>
      `Not enough data to tell yet. Best so far: ${names}, ${d} (likely ${sure}).`,
    onceMore: 'One flight so far. Tasted in another, it is confirmed or it is not.',
    farOff: (d: string, up: boolean) =>
      `Your benchmark, tasted without knowing it, scored ${d} ${up ? 'higher' : 'lower'} than you had declared. Is it worth something else now?`,
    atTop: 'Your benchmark is declared so high that hardly anything can score above it.',
    declare: 'Say what it is worth now',
    honest: 'One person’s scores of one glass. “Likely” leaves one chance in ten that it lies outside.',

    noneTitle: 'Nothing is scored yet.',
    none: 'Taste a flight: a few small glasses, the benchmark always among them. From its scores each ingredient’s part is worked out, and how sure that is.',
    noneQuiet: 'What is scored of these pairings is set against the benchmark here.',

    cut: (down: number, across: number) =>
      `Only ${down} by ${across} are shown: the benchmark’s own and what adds most.`,
    cutAll: (down: number, across: number) => `All ${down} by ${across}`,
    every: 'Every pairing',
    everyHelp: 'In points to the benchmark, with what is likely. The middle of each scale is the benchmark.',
    instead: (line: string) => `instead of ${line}`,
    added: 'added to it',
    nothing: 'nothing added',
    down: 'Down',
    across: 'Across',
    fixed: (line: string) => `Instead of ${line}`,
    fixedAdded: 'Added to it',
    ofAdded: 'what is added',
    tastings: (n: number) => (n === 1 ? '1 tasting' : `${n} tastings`),
    state: { tasted: 'tasted', predicted: 'predicted', untasted: 'untasted' },
    between: (lo: string, hi: string) => `${lo} to ${hi}`,

    toFlight: 'To the flight that is set up',

    ranking: 'Best first',
    rankingHelp: 'Large: as you scored it. Small beside it: the same on today’s scale, where that is another.',
    filter: { all: 'all', tasted: 'tasted', untasted: 'untasted' },
    filterBy: 'Which are shown',
    noneOf: 'None of these.',
    verdict: {
      benchmark: 'benchmark',
      better: 'better',
      worse: 'worse',
      about_the_same: 'about the same',
      probably_better: 'probably better',
      probably_worse: 'probably worse',
      worth_trying: 'worth trying',
      unlikely: 'unlikely to be better',
      predicted: '',
      not_enough_data: 'not enough data to tell',
    },
    tasted: (n: number, flights: number) =>
      n === 1
        ? 'tasted once'
        : `tasted ${n === 2 ? 'twice' : `${n} times`} in ${flights === 1 ? 'one flight' : `${flights} flights`}`,
    never: 'predicted from its bottles, never tasted',
    notBlind: 'not blind',
    guess: 'a guess so far',
    guessShort: 'a\u00a0guess',
    together: 'better together than its bottles suggest',
    ceiling: 'scored at the end of the scale',
    scored: (raw: string, today: string) =>
      today === '' ? `Scored ${raw}` : `Scored ${raw}, on today’s scale ${today}`,
    all: (n: number) => `All ${n}`,
    fewer: 'Fewer',

    adds: (line: string) => `What each adds instead of ${line}`,
    addsTo: 'What an addition adds',
    candidates: 'What takes part',
    isBenchmark: 'the benchmark’s own',
    benched: 'benched',
    bench: 'Leave some out of the next flights',
    benchHelp: 'Ticked takes part. What is left out keeps its scores.',
    benchSaved: (name: string, benched: boolean) => `${name} ${benched ? 'is left out' : 'takes part again'}. Saved`,
    axisMiddle: '0: the benchmark',
    inGlass: (price: string) => `${price} in a glass`,
    times: (term: string, n: number) => `${term} ${n}×`,
    addTo: 'Add something to try',

    families: 'Which kind does better',
    familiesHelp: 'All of a kind together, beside the kind of the benchmark’s own.',
    family: (family: string, than: string) => `${family} beside ${than}`,
    familyVerdict: { ahead: 'does better', behind: 'does worse', open: 'no clear difference' },
    interactions: 'Better together',
    interactionsHelp: 'Scored higher than what their ingredients add by themselves.',
    beyond: (d: string) => `${d} beyond it`,

    prices: 'Score against price',
    pricesHelp:
      'Each tasted pairing by the price of what is priced in its glass. Squares joined by the line: nothing tasted is both cheaper and better.',
    pricesNone:
      'No bottle of these has a price yet. With prices in Bottles, what was tasted is set against what a glass costs.',
    pricesUntasted: 'What is tasted and has a price is set against what a glass costs. So far that is only one.',
    toBottles: 'Go to Bottles',
    priceAxis: 'price of a glass',
    pointAxis: 'points to the benchmark',
    priceTable: 'All of it as a table',
    priceFront: 'On the line',
    pairing: 'Pairing',
    glass: 'Glass',
    points: 'Points',
    perPoint: (price: string) => `${price} for each point above the benchmark`,
    noDearer: 'better than the benchmark and no dearer',
    unpriced: (names: string) => `Without a price: ${names}.`,
    plotSaid: (n: number, front: string) =>
      `Score against price of ${n} pairings. Nothing tasted is cheaper and better than: ${front}. The table below has the figures.`,

    friends: 'Friends',
    friendsHelp: 'What others scored in your flights. It is shown, and counts neither above nor in your alcohol.',
    friend: (n: number, top: string) => `${n === 1 ? '1 score' : `${n} scores`}, highest: ${top}`,

    trials: 'Blind trials',
    trialsHelp:
      'Whether you can tell two apart, or choose one more often. How much better it is they do not say, and nothing about anybody else.',
    trialsTo: 'Record a trial',
    shown: 'shown',
    notShown: 'not shown by these trials',
    chance: (percent: number) =>
      percent < 1
        ? 'chance alone does as well less than once in a hundred'
        : percent === 1
          ? 'chance alone does as well once in a hundred'
          : `chance alone does as well ${percent} times in a hundred`,
    share: (lo: number, hi: number) => `likely ${lo} to ${hi} % in the long run`,
    against: (a: string, b: string) => `${a} against ${b}`,
    toldApart: (a: string, b: string) => `${a} told apart from ${b}`,
    chosen: (a: string, first: number, n: number) => `${a} chosen ${first} of ${n} times`,
    found: (first: number, n: number) => `the odd glass of three found ${first} of ${n} times; guessing finds a third`,
    tooFew: (least: number) => `Fewer than ${least} cannot show anything.`,

    choices: 'How often each is chosen',
    choicesHelp:
      'Over the benchmark, worked out from your choices of one over the other. Beside the scores, not mixed with them.',
    often: (percent: number) => `${percent} %`,
    oftenSure: (lo: number, hi: number) => `likely ${lo} to ${hi} %`,
    oftenLow: 'never',
    oftenMiddle: 'half the time',
    oftenHigh: 'always',

    ranks: 'Does the order hold',
    ranksHelp: (flights: number) =>
      `The same glasses, ranked by their scores in each of ${flights} flights. How far apart they are is not asked.`,
    ranksShown: 'An order is shown: some do better again and again',
    ranksNot: 'No order is shown by these flights',
    sum: (sum: string) => `places added up ${sum}`,
    ranksSum: 'The more, the better it stood.',

    flights: 'Flights',
    flight: (day: string) => `Flight of ${day}`,
    flightCount: (scored: number, seats: number) => `${scored} of ${seats} scored`,
    flightState: { planned: 'set up, not begun', running: 'is on', ended: '' },

    worth: 'What your benchmark is worth',
    noAnchor: 'Say what your benchmark is worth',
    anchor: (x: string) => `Your benchmark is now worth ${x}`,
    worthLabel: 'Worth, of ten',
    worthLess: 'Half a point less',
    worthMore: 'Half a point more',
    worthHow: 'How you know',
    drunk: 'drunk now',
    memory: 'from memory',
    memoryHelp: 'From memory counts half as much.',
    since: (day: string, x: string) => `From ${day}: ${x}`,
    anchorHelp:
      'A new stretch begins with it: scores from now on are read against this. Scores given before stay as they were given, and are read against what you declared then.',
    anchorTop: (x: string, end: boolean) =>
      `${end ? `Nothing can score above ${x}.` : `Above ${x} there is only 10.`} At 7 or 8 there is space on both sides.`,
    anchorSave: (x: string) => `From now on it is worth ${x}`,
    anchored: (x: string) => `The benchmark is worth ${x} from now on. Saved`,

    takeBack: 'Take it back',
    takenBack: 'Taken back: what was declared before holds again. Saved',

    take: 'Take it along',
    csv: 'Save as a table',
    picture: 'Make a picture',
    pictureSave: (name: string) => `Save ${name}`,
    pictureFailed: 'This browser would not draw it. The table has all of it.',
    pictureLarge: (n: number) =>
      `${n} pairings are too many for one picture that can be read. The table has all of them.`,
    pictureFoot: (day: string) => `In points to the benchmark, with what is likely. ${day}, Fair Measure`,
    pictureKey: 'Full dot: tasted. Ring: predicted. Dash: untasted.',
    remove: 'Delete this comparison',
    removed: 'Deleted. Its glasses stay in the journal.',
  },
};
