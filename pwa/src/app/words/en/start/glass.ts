/** What is in a glass. */
export const glass = {
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
};
