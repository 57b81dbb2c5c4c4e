/** Trials without scores. */
export const trial = {
  trials: {
    title: 'Trial by trial',
    quiet: 'The quiet switch is on, so no trials are offered. Results can be read.',
    sub: 'Two of them, again and again, without a score',
    sort: 'What is asked',
    sorts: {
      paired: 'which hidden glass is preferred',
      triangle: 'which of three is the odd one',
      preferred: 'which of two is preferred, in sight',
    },
    a: 'The one',
    b: 'The other',
    record: 'What goes on record',
    size: 'Each small glass',
    drunk: 'How much of each is drunk',
    twice: 'Choose two that differ.',
    added: 'Put to it',
    nothing: 'nothing added',
    fact: {
      paired: (n: number, eg: string) =>
        `A choice must be made each time. With fewer than ${n} trials no outcome can be told from chance at 5 %; ${eg}.`,
      triangle: (n: number, eg: string) =>
        `Poor for bitter and strong drinks, whose taste lingers. With fewer than ${n} trials no outcome can be told from chance at 5 %; ${eg}.`,
      preferred: () => 'Equal is an answer too. What is in sight is judged by its label as well, so it is kept apart.',
    },
    needed: (k: number, n: number) => `of ${n} it takes ${k}`,
    begin: 'Begin these trials',
    done: (n: number) => (n === 0 ? 'No trial yet' : n === 1 ? '1 trial done' : `${n} trials done`),
    no: (n: number) => `Trial ${n}`,
    pourer: 'Hand the phone to whoever pours.',
    show: 'Show what to pour',
    hide: 'Hide it, and hand the phone back',
    make: (n: number, size: string) =>
      n === 1 ? `For one glass of ${size}, before ice` : `For ${n} glasses of ${size}, before ice`,
    inProportion: 'in proportion',
    inPlace: (line: string) => `In place of ${line}`,
    left: 'Then, from left to right',
    poured: 'They are poured: taste',
    ask: {
      paired: 'Taste from the left. Which do you prefer?',
      triangle: 'Taste from the left. Two are the same: which is the odd one?',
      preferred: 'Which do you prefer?',
    },
    tie: 'about the same',
    kept: (n: number) => `Trial ${n}. Saved`,
    back: 'Take the last trial back',
    tookBack: 'Taken back. Saved',
    sees: 'What they come to stands with the comparison, so that no count sways the next choice.',
    counted: (n: number, size: string) =>
      `With each trial ${n} glasses of ${size} go on record, as a plain drink of about the same strength. Bottles are not lowered by them.`,
    pour: (drink: string, n: number) => `${drink}, ${n} small glasses`,
    limit: (today: string, limit: string) =>
      `Another trial goes over the limit: ${today} standard drinks today, and the limit is ${limit}. These trials can go on another day.`,
    unknown: (names: string) => `A strength is unknown, so the sum cannot be told: ${names}`,
    stop: 'Stop here, see the comparison',
    another: 'Choose two others',
  },
};
