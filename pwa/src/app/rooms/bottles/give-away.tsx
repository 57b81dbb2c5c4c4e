import { useState } from 'preact/hooks';
import type { BottlesAnswer } from '../../../shared/core.ts';
import { later } from '../../words.ts';
import { giveAway } from './to-give.ts';
import * as cautionsCss from '../../parts/cautions.module.css';

/** For who drinks less, or stops: what stands on the shelf as a list to hand on. */
export function GiveAway({ rows }: { rows: BottlesAnswer['rows'] }) {
  const [copied, setCopied] = useState(false);
  const lines = giveAway(rows);
  if (lines.length === 0) return null;
  const copy = async () => {
    try {
      await navigator.clipboard.writeText(lines.join('\n'));
      setCopied(true);
    } catch {
      setCopied(false); // it stands there to be read
    }
  };
  return (
    <section class="part">
      <h2>{later.bottles.giveTitle}</h2>
      <ul class={cautionsCss.cautions}>
        {lines.map((line) => (
          <li key={line}>{line}</li>
        ))}
      </ul>
      <div class="btns">
        <button type="button" class="btn" onClick={() => void copy()}>
          {copied ? later.bottles.giveCopied : later.bottles.giveCopy}
        </button>
        <button type="button" class="btn" onClick={() => print()}>
          {later.week.print}
        </button>
      </div>
    </section>
  );
}
