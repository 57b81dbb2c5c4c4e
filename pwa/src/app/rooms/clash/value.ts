import { score, withDates } from '../../format.ts';
import { later } from '../../words-later.ts';

/** A value as the core tells it, set for reading: scores in halves, yes and no in words. */
export function valueText(field: string, text: string): string {
  if (field === 'score_x10' && /^\d+(\.\d)?$/.test(text)) return score(Math.round(Number(text) * 10));
  if (text === 'yes') return later.clash.yes;
  if (text === 'no') return later.clash.no;
  return field === 'at_ms' || /_on$/.test(field) ? withDates(text) : text;
}
