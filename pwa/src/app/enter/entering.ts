/** What a form at the door sends, what may be wrong with it, and what came back. */
import { useEffect, useRef, useState } from 'preact/hooks';
import type { Door } from '../../shared/messages.ts';
import { arrive, problemCode } from '../admission.ts';
import { enter } from '../core-client.ts';
import { clock } from '../format.ts';
import { later } from '../words.ts';

/** Where a fault stands: at a field, or '' for the whole form. */
export type Place = 'key' | 'code' | 'name' | 'old' | 'password' | 'device' | '';
export type Faults = Partial<Record<Place, string>>;

/** What the server refused with: '' when it did not answer. */
export interface Refused {
  why: string;
  retryS: number | null;
}

export function refusedIn({ body }: { body: unknown }): Refused {
  const retry = typeof body === 'object' && body !== null && 'retry_s' in body ? body.retry_s : null;
  return { why: problemCode(body), retryS: typeof retry === 'number' && retry > 0 ? retry : null };
}

const lengthOf = (text: string): number => [...text.normalize('NFC')].length;

/** A name as it is sent; what is wrong with it, or null. */
export const tidyName = (typed: string): string => typed.normalize('NFC').trim();
export function nameFault(typed: string): string | null {
  const n = lengthOf(tidyName(typed));
  if (n === 0) return later.door.accountMissing;
  return n > 60 ? later.door.accountLong(n) : null;
}

/** A password is sent as it was typed, every space of it. */
export function newPasswordFault(typed: string): string | null {
  const n = lengthOf(typed);
  if (n < 10) return later.door.passwordShort(n);
  return n > 256 ? later.door.passwordLong(n) : null;
}

const placeOfCode: Readonly<Record<string, Place>> = {
  wrong: 'password',
  wrong_password: 'old',
  password: 'password',
  account_name: 'name',
  name_taken: 'name',
  name: 'device',
  no_setup: 'key',
  not_invitation: 'code',
  code_unreadable: 'code',
  code_unknown: 'code',
  code_expired: 'code',
};

/** The server's refusal in words, at the field it is about. */
export function faultsOf({ why, retryS }: Refused, now: number): Faults {
  if (retryS !== null && (why === 'too_many_tries' || why === 'busy')) {
    const say = why === 'busy' ? later.door.busy : later.door.tooMany;
    return { '': say(waitText(retryS), timeAfter(retryS, now)) };
  }
  return { [placeOfCode[why] ?? '']: later.door.refused(why) };
}

/** "45 seconds", "15 minutes": rounded up, so that the wait is over when it says so. */
export function waitText(seconds: number): string {
  const whole = Math.ceil(seconds);
  return whole < 60 ? later.door.seconds(whole) : later.door.minutes(Math.ceil(whole / 60));
}

/** The time of day a longer wait ends, on this device's clock; '' when it is not worth saying. */
export function timeAfter(seconds: number, now: number): string {
  if (seconds <= 60) return '';
  const end = new Date(now + Math.ceil(seconds / 60) * 60_000);
  return clock(end.getHours() * 60 + end.getMinutes());
}

/** A form at the door: asks, says what was wrong, and is told when a wait is over. */
export function useFaults() {
  const [faults, setFaults] = useState<Faults>({});
  const [over, setOver] = useState(false);
  const form = useRef<HTMLFormElement>(null);
  const timer = useRef<ReturnType<typeof setTimeout> | undefined>(undefined);
  useEffect(() => () => clearTimeout(timer.current), []);
  useEffect(() => {
    const first = form.current?.querySelector<HTMLElement>('[aria-invalid="true"], [role="alert"]');
    if (first?.matches('input')) first.focus();
    first?.scrollIntoView({ block: 'center' });
  }, [faults]);
  const show = (next: Faults, retryS: number | null = null) => {
    clearTimeout(timer.current);
    setOver(false);
    setFaults(next);
    if (retryS === null) return;
    timer.current = setTimeout(() => {
      setFaults({});
      setOver(true);
    }, retryS * 1000);
  };
  return { faults, over, form, show };
}

export const any = (faults: Faults): boolean => Object.values(faults).some((text) => text !== undefined);

export function useEntering(path: Door) {
  const it = useFaults();
  const [asking, setAsking] = useState(false);
  /** The code it was refused with; null once this device is in. */
  const send = async (body: Record<string, string>): Promise<string | null> => {
    setAsking(true);
    it.show({});
    const answer = await enter(path, body).catch(() => ({ status: 0, body: null }));
    if (answer.status === 200) {
      arrive();
      return null;
    }
    const refused = refusedIn(answer);
    it.show(faultsOf(refused, Date.now()), refused.retryS);
    setAsking(false);
    return refused.why;
  };
  return { ...it, asking, send };
}
