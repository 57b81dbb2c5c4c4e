import type { ApiAnswer } from '../../shared/messages.ts';
import { listIn, numberIn, textIn } from './answer.ts';

/** A device of the account, as the server lists it. */
export interface Device {
  id: string;
  name: string;
  createdMs: number;
  seenMs: number;
  /** Where it last asked from; '' when the server does not say. */
  address: string;
  /** '' while it is let in. */
  end: string;
  endedMs: number;
  here: boolean;
}

/** The server's list, checked at the door. */
export function devicesIn(answer: ApiAnswer): Device[] | 'none' {
  const listed = listIn(answer, 'devices');
  if (listed === null) return 'none';
  return listed.flatMap((it): Device[] => {
    const { id, name, last_address: address, end, this: here } = it;
    if (typeof id !== 'string' || typeof name !== 'string') return [];
    const endedMs = numberIn(it.ended_ms);
    return [
      {
        id,
        name,
        createdMs: numberIn(it.created_ms),
        seenMs: numberIn(it.last_seen_ms),
        address: textIn(address),
        end: endedMs > 0 ? textIn(end) || 'ended' : '',
        endedMs,
        here: here === true,
      },
    ];
  });
}

/** Devices shut because their sign-in came from two places, while the asking one was let in. */
export function shutSince(devices: readonly Device[]): Device[] {
  const since = devices.find(({ here }) => here)?.createdMs ?? 0;
  return devices.filter(({ end, endedMs, here }) => end === 'reused' && endedMs >= since && !here);
}
