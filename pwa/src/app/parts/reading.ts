import { useEffect, useState } from 'preact/hooks';
import type { Alcohol, Balance, DraftAnswer, Id } from '../../shared/core.ts';
import { ask } from '../core-client.ts';

type Read = DraftAnswer['lines'][number];

export interface Reading {
  /** As the lines were asked; null for an empty one, or while it is not read yet. */
  lines: (Read | null)[];
  balance: Balance | null;
  alcohol: Alcohol | null;
  /** The hand has come to rest: what cannot be read may now be said. */
  settled: boolean;
}

const restMs = 700;

/** The lines read and weighed while they are typed, at most once a frame. */
export function useReading(
  typed: readonly string[],
  method: string,
  more: { spec?: Id; total_ul?: number } = {},
): Reading {
  const key = JSON.stringify([typed, method, more]);
  const [answer, setAnswer] = useState<{ typed: readonly string[]; draft: DraftAnswer } | null>(null);
  const [settled, setSettled] = useState(true); // what a draft or a spec held is not being typed

  useEffect(() => {
    let gone = false;
    const filled = typed.filter((text) => text.trim() !== '');
    const frame = requestAnimationFrame(() => {
      if (filled.length === 0) return setAnswer(null);
      ask({ q: 'draft', lines: filled, method, ...more }).then(
        (draft) => {
          if (!gone) setAnswer({ typed: filled, draft });
        },
        () => {
          if (!gone) setAnswer(null); // the fault shows when it is saved
        },
      );
    });
    return () => {
      gone = true;
      cancelAnimationFrame(frame);
    };
  }, [key]);

  useEffect(() => {
    const timer = setTimeout(() => setSettled(true), restMs);
    return () => {
      clearTimeout(timer);
      setSettled(false);
    };
  }, [key]);

  const found = new Map(answer?.typed.map((text, i) => [text, answer.draft.lines[i] ?? null]));
  return {
    lines: typed.map((text) => found.get(text) ?? null),
    balance: answer?.draft.balance ?? null,
    alcohol: answer?.draft.alcohol ?? null,
    settled,
  };
}
