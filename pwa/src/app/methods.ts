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
