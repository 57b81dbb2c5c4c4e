/** The first of so many days that end with a day; dates are calendar dates of no zone. */
export function firstOf(last: string, days: number): string {
  const [y, m, d] = last.split('-').map(Number);
  return new Date(Date.UTC(y ?? 1970, (m ?? 1) - 1, (d ?? 1) - days + 1)).toISOString().slice(0, 10);
}

export const tableName = (of: string, from: string, to: string): string => `fair-measure-${of}-${from}-to-${to}.csv`;
