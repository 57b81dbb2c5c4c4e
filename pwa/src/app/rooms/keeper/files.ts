import { RefusedError } from '../../core-client.ts';
import { decimal } from '../../format.ts';
import { later } from '../../words.ts';

/** The day is where the person is; a journal kept apart has a number. */
export function fileName(day: Date, no: number): string {
  const two = (n: number) => String(n).padStart(2, '0');
  const date = `${day.getFullYear()}-${two(day.getMonth() + 1)}-${two(day.getDate())}`;
  return `fair-measure-${date}${no === 0 ? '' : `-apart-${no}`}.json`;
}

/** Never less than it is: in thousands of bytes, from a million on in millions. */
export function sizeOf(bytes: number): string {
  if (bytes < 1_000_000) return later.exporting.kB(String(Math.ceil(bytes / 1_000)));
  return later.exporting.MB(decimal(Math.ceil(bytes / 100_000) / 10, 1));
}

/** What a person is told when a file was not, or not wholly, brought. */
export function whyOf(error: unknown): string {
  if (!(error instanceof RefusedError)) return later.bringingFile.failed;
  return later.bringingFile.refused[error.refusal.code] ?? error.refusal.text;
}
