/** What a total reaches, and the medical caution. */
export const totals = {
  guide: {
    published: (n: string, above: boolean, limit: string, group: string, issuer: string, year: number) =>
      `${n} ${above ? 'is above the' : 'reaches the'} ${limit} of the guidance${group && ` ${group}`} (${issuer}, ${year}).`,
    own: (n: string, above: boolean, limit: string) => `${n} ${above ? 'is above' : 'reaches'} your own ${limit}.`,
    short: (above: boolean, limit: string, by: string) =>
      `${above ? 'above' : 'reaches'} ${by === '' ? `your own ${limit}` : `${limit} (${by})`}`,
  },

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
};
