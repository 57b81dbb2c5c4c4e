import type { Guideline } from '../../../shared/core.ts';
import { decimal } from '../../format.ts';
import { inUnit } from '../../parts/guide.tsx';
import { later, words } from '../../words.ts';

/** Lines that give a number to stand a bar beside: this many a day. In grams where the issuer counts in grams. */
export function dayLines(guidance: readonly Guideline[]): { lines: Guideline[]; grams: boolean } {
  const lines = guidance.filter(
    (line) => line.period === 'day' && line.limit > 0 && line.comparator !== 'band' && line.comparator !== 'none',
  );
  const grams = lines.length > 0 && lines[0]?.unit === 'g';
  return { lines: lines.filter((line) => (line.unit === 'g') === grams), grams };
}

const limitText = (line: Guideline): string => inUnit(decimal(line.limit, 1, 0), line);

/** The words beside a dashed line: "4 on any one day". */
export function lineLabel(line: Guideline): string {
  if (line.status === 'own') return later.week.line(limitText(line), later.week.ownDay);
  const text = later.week.line(limitText(line), later.week.onDay);
  const group = words.week.group(line.group);
  return group ? later.week.ofGroup(text, group) : text;
}

/** One line of guidance as a sentence: "at most 10 standard drinks a week, for women". */
export function asText(line: Guideline): string {
  const group = words.week.group(line.group);
  const withGroup = (text: string) => (group ? later.week.ofGroup(text, group) : text);
  if (line.comparator === 'band') return withGroup(later.week.band(line.note));
  if (line.comparator === 'none' || line.state === '') return withGroup(later.week.noNumber(line.period));
  const limit = decimal(line.limit, 1, 0);
  const unit = later.week.unit(line.unit, line.limit);
  const period = words.week.period[line.period] ?? '';
  if (line.comparator === 'at_least' || line.comparator === 'risk_level') {
    return withGroup(
      later.week.guideMore(limit, unit, period, later.week.moreIs[line.status] ?? later.week.moreIs[''] ?? ''),
    );
  }
  const how = later.week.comparator[line.comparator] ?? later.week.comparator.at_most ?? '';
  return withGroup(later.week.guide(how, limit, unit, period));
}

/**
 * What a total has reached of what the lines warn of, said once for each span: the lower line leads where an issuer splits its guidance. Empty
 * when nothing is.
 */
export function cautionOf(guidance: readonly Guideline[]): string {
  const said = new Map<string, string>();
  const warned = guidance.filter((line) => line.reached === true).sort((a, b) => a.limit - b.limit);
  for (const line of warned) {
    if (said.has(line.period)) continue;
    const span = later.week.spanOf[line.period] ?? later.week.spanOf[''] ?? '';
    const say = line.state === 'above' ? later.week.above : later.week.at;
    said.set(line.period, `${say(span, limitText(line))}${line.status === 'own' ? ` (${later.week.own})` : ''}.`);
  }
  return [...said.values()].join(' ');
}
