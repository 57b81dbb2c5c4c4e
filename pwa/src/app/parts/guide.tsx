import type { Alcohol, Guideline } from '../../shared/core.ts';
import { alcohol, decimal } from '../format.ts';
import { words } from '../words.ts';
import * as linedCss from './lined.module.css';
import * as toneCss from './tone.module.css';

/** What a total would reach, in plain ink: the number, the line of the guidance, its issuer and year. */
export function Passes({ total, passes }: { total: Alcohol; passes: readonly Guideline[] }) {
  return (
    <>
      {passes
        .filter((line) => line.state === 'above' || line.state === 'at')
        .map((line, i) => (
          <p key={i} class={`quiet ${toneCss.plain} key`}>
            {passText(total, line)}
          </p>
        ))}
    </>
  );
}

/** Beside a row: the one line that comes first of those it would reach; an own limit before the guidance. */
export function PassShort({ passes }: { passes: readonly Guideline[] }) {
  const text = passShort(passes);
  return text === '' ? null : <span class={`quiet ${linedCss.lined}`}>{text}</span>;
}

export function passShort(passes: readonly Guideline[]): string {
  const reached = passes.filter((line) => line.state === 'above' || line.state === 'at');
  const line = reached.find((it) => it.status === 'own') ?? reached[0];
  if (line === undefined) return '';
  const by = line.status === 'own' ? '' : `${shortIssuer(line.issuer)}, ${line.year}`;
  return words.guide.short(line.state === 'above', limitOf(line), by);
}

/** A figure of a line, in grams where its issuer counts in grams. */
export const inUnit = (n: string, { unit }: Pick<Guideline, 'unit'>): string => (unit === 'g' ? words.gramsOf(n) : n);

const limitOf = (line: Guideline): string =>
  `${inUnit(decimal(line.limit, 1, 0), line)} ${words.week.period[line.period] ?? ''}`.trim();

/** A line by the week speaks of another sum than tonight's: the core says which. */
function passText(total: Alcohol, line: Guideline): string {
  const sum =
    line.amount === undefined || line.amount === null ? alcohol(total) : inUnit(decimal(line.amount, 1), line);
  const sumSaid = line.at_least ? words.atLeast(sum) : sum;
  const limit = limitOf(line);
  const above = line.state === 'above';
  if (line.status === 'own') return words.guide.own(sumSaid, above, limit);
  return words.guide.published(
    sumSaid,
    above,
    limit,
    words.week.group(line.group),
    shortIssuer(line.issuer),
    line.year,
  );
}

/** The body alone, without the title of what it published: Week names the whole. */
export function shortIssuer(issuer: string): string {
  return issuer.split(/,|;| \(| \//)[0]?.trim() ?? issuer;
}
