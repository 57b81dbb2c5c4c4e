import { useEffect, useState } from 'preact/hooks';
import type { LineView, Refusal } from '../../shared/core.ts';
import { ask } from '../core-client.ts';
import { percent } from '../format.ts';
import { lineText, lineVolume } from './lines.tsx';
import { later } from '../words.ts';
import { rewrites, strengthIn } from './rewrite.ts';
import * as css from './reading-line.module.css';

/** How the core reads what was typed: "¾ oz lemon juice · 22.5 ml". */
export function ReadingLine({ lines }: { lines: readonly LineView[] }) {
  return (
    <>
      {lines.map((line) => (
        <span key={line.id} class={css.reading}>
          {later.editor.reading(lineText(line), lineVolume(line))}
        </span>
      ))}
    </>
  );
}

interface Choice {
  text: string;
  label: string;
}

/** For a number that may be a percentage or a proof: the ways the core can read it, one button each. */
export function RewriteButtons({
  typed,
  refusal,
  method,
  onRewrite,
  onAgain,
}: {
  typed: string;
  refusal: Refusal;
  method: string;
  onRewrite: (text: string) => void;
  /** Neither is meant: the hand goes back to the line. */
  onAgain: () => void;
}) {
  const [choices, setChoices] = useState<Choice[]>([]);
  useEffect(() => {
    let gone = false;
    setChoices([]);
    const ways = refusal.code === 'proof_or_percent' ? rewrites(typed) : [];
    if (ways.length === 0) return;
    ask({ q: 'draft', lines: ways, method }).then(
      ({ lines }) => {
        if (gone) return;
        setChoices(
          ways.flatMap((text, i) => {
            const read = lines[i];
            const abv = read?.ok ? read.lines[0]?.abv_percent : null;
            return abv === null || abv === undefined
              ? []
              : [{ text, label: later.editor.proof(strengthIn(text), percent(abv)) }];
          }),
        );
      },
      () => undefined, // then it is written again by hand
    );
    return () => {
      gone = true;
    };
  }, [typed, refusal.code]);
  if (choices.length === 0) return null;
  const offered = choices.slice(0, 2);
  return (
    <div class="btns">
      {offered.map((choice) => (
        <button key={choice.text} type="button" class="btn" onClick={() => onRewrite(choice.text)}>
          {choice.label}
        </button>
      ))}
      {offered.length < 2 && (
        <button type="button" class="btn" onClick={onAgain}>
          {later.editor.again}
        </button>
      )}
    </div>
  );
}

/** The hand goes back to the whole line, to write it again. */
export function backTo(input: HTMLInputElement | null | undefined): void {
  input?.focus();
  input?.select();
}
