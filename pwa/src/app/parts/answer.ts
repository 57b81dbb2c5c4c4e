import type { ApiAnswer } from '../../shared/messages.ts';
import { api } from '../core-client.ts';

/** Asks the server; without an answer the status is 0. */
export const get = (path: string): Promise<ApiAnswer> => api('GET', path).catch(() => none);

export const send = (path: string, body: unknown): Promise<ApiAnswer> => api('POST', path, body).catch(() => none);

const none: ApiAnswer = { status: 0, body: null };

export const isRecord = (it: unknown): it is Record<string, unknown> => typeof it === 'object' && it !== null;

/** The code of a refusal; '' when the server gave none. */
export const problemIn = ({ body }: ApiAnswer): string =>
  isRecord(body) && typeof body.code === 'string' ? body.code : '';

/** Seconds to wait before the next try, when the server says how long. */
export const waitIn = ({ body }: ApiAnswer): number | null =>
  isRecord(body) && typeof body.retry_s === 'number' && body.retry_s > 0 ? body.retry_s : null;

/** The list under `name` of a good answer; null when it is none. */
export function listIn({ status, body }: ApiAnswer, name: string): Record<string, unknown>[] | null {
  if (status !== 200 || !isRecord(body)) return null;
  const list = body[name];
  return Array.isArray(list) ? list.filter(isRecord) : null;
}

export const textIn = (it: unknown): string => (typeof it === 'string' ? it : '');
export const numberIn = (it: unknown): number => (typeof it === 'number' ? it : 0);
