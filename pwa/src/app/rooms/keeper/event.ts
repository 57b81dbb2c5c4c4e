import type { ApiAnswer } from '../../../shared/messages.ts';
import { listIn, numberIn, textIn } from '../../parts/answer.ts';

/** A line of the account's audit. */
export interface Event {
  atMs: number;
  what: string;
  device: string;
  name: string;
  by: string;
  address: string;
}

/** The server's list, newest first, checked at the door; null when there is no answer. */
export function eventsIn(answer: ApiAnswer): Event[] | null {
  const listed = listIn(answer, 'events');
  if (listed === null) return null;
  return listed
    .flatMap((it): Event[] => {
      if (typeof it.what !== 'string' || typeof it.at_ms !== 'number') return [];
      return [
        {
          atMs: numberIn(it.at_ms),
          what: it.what,
          device: textIn(it.device),
          name: textIn(it.name),
          by: textIn(it.by),
          address: textIn(it.address),
        },
      ];
    })
    .sort((a, b) => b.atMs - a.atMs);
}
