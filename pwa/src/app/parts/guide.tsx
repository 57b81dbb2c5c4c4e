import type { Alcohol, Guideline } from '../../shared/core.ts';
import { alcohol, decimal } from '../format.ts';
import { words } from '../words.ts';

/** What a total would pass, in plain ink: the number, the line of the guidance, its issuer and year. */
export function Passes({ total, passes }: { total: Alcohol; passes: readonly Guideline[] }) {
  return (
    <>
      {passes.filter((line) => line.state === 'above' || line.state === 'at').map((line, i) => {
        const say = line.state === 'at' ? words.tonight.meets : words.tonight.passes;
        return <p key={i} class="quiet plain tip-line">{say(alcohol(total), decimal(line.limit, 1, 0), words.period[line.period] ?? '', line.issuer, line.year)}</p>;
      })}
    </>
  );
}
