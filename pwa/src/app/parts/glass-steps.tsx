import type { ComponentChildren } from 'preact';
import { score, share } from '../format.ts';
import { words } from '../words.ts';
import { ScoreScale } from './score.tsx';
import { Stepper } from './stepper.tsx';
import * as chipsCss from './chips.module.css';

interface HalfPointsProps {
  label: string;
  less: string;
  more: string;
  x10: number | null;
  onChange: (x10: number) => void;
}

/** The steps of a score on its scale; the first step of an empty one gives 7. */
export function HalfPoints({ label, less, more, x10, onChange }: HalfPointsProps) {
  return (
    <Stepper
      label={label}
      less={less}
      more={more}
      lessText="−½"
      moreText="+½"
      value={x10}
      start={70}
      low={0}
      high={100}
      by={5}
      onChange={onChange}
      text={x10 === null ? '–' : score(x10)}
      spoken={x10 === null ? words.sheet.scoreNone : undefined}
      drawing={<ScoreScale x10={x10} />}
    />
  );
}

/** Nought to ten in halves; empty until someone scores, and again when cleared. */
export function ScoreStepper({ x10, onChange }: { x10: number | null; onChange: (x10: number | null) => void }) {
  return (
    <section class="part">
      <h2>{words.sheet.score}</h2>
      <HalfPoints
        label={words.sheet.scoreLabel}
        less={words.sheet.scoreLess}
        more={words.sheet.scoreMore}
        x10={x10}
        onChange={onChange}
      />
      {x10 !== null && (
        <p>
          <button type="button" class="link" onClick={() => onChange(null)}>
            {words.sheet.scoreClear}
          </button>
        </p>
      )}
    </section>
  );
}

/** How much of the glass its owner drinks, in quarters; none of it means it was made for someone else. */
export function ShareStepper({
  bp,
  onChange,
  detail,
  children,
}: {
  bp: number;
  onChange: (bp: number) => void;
  /** What that share comes to; not said of a glass for someone else. */
  detail?: ComponentChildren;
  children?: ComponentChildren;
}) {
  return (
    <section class="part">
      <h2>{words.sheet.share}</h2>
      <Stepper
        label={words.sheet.share}
        less={words.sheet.shareLess}
        more={words.sheet.shareMore}
        value={bp}
        low={0}
        high={10000}
        by={2500}
        onChange={onChange}
        text={share(bp)}
        detail={bp === 0 ? words.sheet.forSomeoneElse : detail}
      />
      <div class={`${chipsCss.chips} ${chipsCss.below}`} role="group" aria-label={words.sheet.share}>
        {words.sheet.shares.map(([part, name]) => (
          <button
            key={part}
            type="button"
            class={chipsCss.chip}
            aria-pressed={part === bp}
            onClick={() => onChange(part)}
          >
            {name}
          </button>
        ))}
      </div>
      {bp < 10000 && <p class="quiet key">{words.sheet.shareMeans}</p>}
      {children}
    </section>
  );
}
