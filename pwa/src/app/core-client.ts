import type { Answers, AnswerTo, Done, Intent, Question, Refusal } from '../shared/core.ts';

/** The input was not acceptable: code and field for the screen, text for the person. */
export class RefusedError extends Error {
  readonly refusal: Refusal;
  constructor(refusal: Refusal) {
    super(refusal.text);
    this.refusal = refusal;
  }
}

/** A question to the core; resolves with the answer as of now. */
export async function ask<Q extends Question>(question: Q): Promise<AnswerTo<Q>> {
  throw new Error(`no core yet: ${question.q}`);
}

/** Something a person did. Resolves when it is on this device's disk ("saved"), never before. Rejects with RefusedError or Error. */
export async function act(intent: Intent): Promise<Done> {
  throw new Error(`no core yet: ${intent.do}`);
}

/** An answer that stays true: asked again after every change that may touch it. */
export interface Live<T> {
  /** null until the first answer; then the newest one, also while a newer is on its way. */
  answer: T | null;
  fault: string | null;
  refusal: Refusal | null;
  /** Over 300 ms without a first answer: time for a skeleton. */
  slow: boolean;
}

/** For screens: const { answer, slow } = useAnswer({ q: 'week' }). */
export function useAnswer<Q extends Question>(question: Q): Live<Answers[Q['q']]> {
  void question;
  return { answer: null, fault: null, refusal: null, slow: true };
}
