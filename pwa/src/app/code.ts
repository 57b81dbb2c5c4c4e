const letters = /[^0-9A-HJKMNP-TV-Z]/g; // Crockford base 32

/** A pairing code as it is typed: capitals in groups of four; what is easily misread is read as what it must be. */
export function tidyCode(typed: string): string {
  const plain = typed.toUpperCase().replaceAll('O', '0').replace(/[IL]/g, '1').replace(letters, '').slice(0, 12);
  return plain.replace(/(.{4})(?=.)/g, '$1-');
}

export const isWhole = (code: string): boolean => code.length === 14;
