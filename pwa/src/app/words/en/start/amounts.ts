/** Numbers, amounts and the words beside them. */
export const amounts = {
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
