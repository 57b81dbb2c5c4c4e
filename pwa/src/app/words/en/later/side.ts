/** Side by side: setting a comparison up. */
export const side = {
  side: {
    tasted: (n: number) =>
      n === 0 ? 'not scored yet' : n === 1 ? 'scored once' : n === 2 ? 'scored twice' : `scored ${n} times`,
    scores: (list: string) => `scores ${list}`,
    toSpecs: 'Go to specs',
    honest: 'Scores given on different evenings are shown as they were given. A few scores decide little.',
    last: (day: string) => `last ${day}`,
  },

  comparing: {
    sub: 'One drink with one thing changed at a time, against its benchmark',
    list: 'Being compared',
    emptyTitle: 'Nothing is compared yet.',
    empty:
      'Choose a drink and what might stand in one of its lines, then taste small glasses of it beside the benchmark. What each ingredient adds, and how sure that is, is worked out from your scores.',
    noBenchmark: 'A drink needs a spec with amounts that is its benchmark. Write one in Specs first.',
    begin: 'Compare a drink',
    counts: (pairings: number, candidates: readonly number[], tasted: number, scored: number) =>
      [
        Array.isArray(candidates) && candidates.length > 1
          ? `${candidates.join(' × ')}: ${pairings} pairings`
          : `${pairings} pairings`,
        ...(scored === 0
          ? ['nothing scored yet']
          : [`${tasted} tasted`, scored === 1 ? '1 score' : `${scored} scores`]),
      ].join(' · '),
    running: 'a flight is on',
    goOn: 'Go on with the flight',
    drink: 'Drink',
    which: 'What changes',
    whichHelp:
      'One to four of these. To find out whether one bottle could do two jobs, tick both lines and name it in each.',
    addition: 'Something put to it',
    insteadOf: (name: string) => `Instead of ${name}`,
    opened: (family: string) => (family === '' ? 'Opened, of the same sort' : `Opened on the shelf: ${family}`),
    noneOpened: (family: string) =>
      family === '' ? 'No other opened bottle of its sort.' : `No other opened bottle of ${family}.`,
    allBottles: (n: number) => (n === 1 ? 'Show one more bottle' : `Show ${n} more bottles`),
    fewerBottles: 'Show fewer',
    otherFamily: 'of no known family',
    shut: 'not opened',
    names: (name: string) => `By name, instead of ${name}`,
    namesHelp:
      'One a line, typed or pasted; of a new one with its strength: “windfall gin, 44\u00a0%”. A name you have used before is found again.',
    touches: 'What may be put to it, one a line',
    touchesHelp:
      'An amount and a name: “5 ml gentian bitter”, “2 dashes orange bitters”. Nothing added always takes part.',
    badTouch: (no: number, text: string, why: string) =>
      why === ''
        ? `Line ${no}: expected an amount and a name, such as 5 ml gentian bitter; got “${text}”.`
        : `Line ${no}: ${why}.`,
    paste: 'Or paste whole pairings',
    pairings: 'Pairings, one a line',
    pairingsHelp: (how: string) =>
      `With a plus sign between: ${how}. Each part joins the candidates of its line, so more than these pairings may come of it.`,
    badPairing: (no: number, row: string, parts: number, how: string) =>
      `Line ${no}: “${row}” has ${parts === 1 ? 'one part' : `${parts} parts`}; expected ${how}, with “ + ” between.`,
    worth: 'What is your benchmark worth to you?',
    worthLabel: 'The benchmark’s score, 0 to 10',
    worthHelp:
      'In the same points you will give the others. 7 is a useful middle: it leaves space above for what is better and below for what is not. You may leave it empty and say it later, or change it when your scale moves.',
    worthHigh:
      'Nothing can score above 10, so from here hardly anything can show that it is better. 7 or 8 keeps the scale open.',
    worthClear: 'Leave it empty',
    name: 'Name of this comparison',
    nameHelp: 'Optional.',
    glasses: (counts: readonly number[], n: number) =>
      n < 2
        ? 'Only the benchmark so far.'
        : `${counts.length > 1 ? `${counts.join(' × ')} = ` : ''}${n} pairings, the benchmark among them. Nobody needs to taste them all.`,
    needLine: 'Tick at least one line that changes, or something put to it.',
    needTouch: 'Expected at least one line, such as 5 ml gentian bitter; it is empty.',
    needCandidate: (names: readonly string[]) =>
      `Tick or name at least one thing to stand in for ${names.join(' or ')}.`,
    tooMany: (most: number, n: number) =>
      `Expected at most ${most} to begin with, got ${n}. More can be added once it has begun.`,
    tooManyPairings: (n: number) =>
      `This makes ${n} pairings; a flight is planned among 2500 at most. Leave some out, or compare in two parts.`,
    saveCount: (n: number) => (n < 2 ? 'Begin comparing' : `Begin comparing ${n} pairings`),
    saved: 'Begun. Saved',
    anchorFailed: 'Begun, but what the benchmark is worth was not saved. It can be said on this page.',
  },

  candidates: {
    title: 'Add candidates',
    there: (n: number) => (n === 1 ? 'There already' : `There already: ${n}`),
    own: 'the benchmark’s own',
    nothing: 'nothing added',
    benched: 'benched',
    back: 'Bring back',
    backOf: (name: string) => `Bring ${name} back`,
    isBack: (name: string) => `${name} is back. Saved`,
    for: (line: string) => `For ${line}`,
    forAddition: 'Something put to it',
    save: (n: number) => (n === 0 ? 'Add' : `Add ${n}`),
    saved: (n: number) => (n === 1 ? 'One added. Saved' : `${n} added. Saved`),
    some: (done: number, n: number, why: string) => `${done} of ${n} added. ${why}`,
    need: 'Tick or name at least one that is not there yet.',
    noSwaps: 'None of the lines that were swapped is in the benchmark any more.',
  },
};
