import { score, withDates } from '../../format.ts';
import { later } from '../../words.ts';

/** A value as the core tells it, set for reading: scores in halves, dates and what the core has a key for in words. */
export function valueText(field: string, text: string): string {
  if (field === 'score_x10' && /^\d+(\.\d)?$/.test(text)) return score(Math.round(Number(text) * 10));
  if (text === 'yes') return later.clash.yes;
  if (text === 'no') return later.clash.no;
  if (field === 'sight') return (later.planning.sights as Readonly<Record<string, string>>)[text] ?? text;
  if (field === 'from_ms' && text.endsWith(', drunk')) return later.clash.drunk(withDates(text.slice(0, -7)));
  const trial = field === 'sort' ? /^(.+): (found|missed)(,.*)?$/.exec(text) : null;
  if (trial) return later.clash[trial[2] as 'found' | 'missed'](trial[1] ?? '') + withDates(trial[3] ?? '');
  return /(_on|_ms|^sort)$/.test(field) ? withDates(text) : text;
}
