/** Requests to the server: a time limit, the cookie, and one renewal of the sign-in when the token has run out. */

export interface Heard {
  status: number;
  /** '' when the answer was not JSON: a hotel's sign-in page is no answer of ours. */
  body: string;
  retryAfterMs: number | null;
}

export interface Asked {
  method: 'GET' | 'POST' | 'DELETE';
  path: string;
  /** JSON text. */
  body?: string;
}

export interface HttpEnv {
  fetch: typeof fetch;
  /** Runs `work` while no other tab renews. */
  signin: <T>(work: () => Promise<T>) => Promise<T>;
  pause: (ms: number) => Promise<void>;
}

const limitMs = 30_000;
const refreshPath = '/api/v1/auth/refresh';

/** One request. null: no answer (no network, time limit, or something that is not our server). */
export async function request(env: HttpEnv, asked: Asked): Promise<Heard | null> {
  const first = await once(env, asked);
  if (first?.status !== 401 || codeOf(first.body) !== 'expired') return first;
  const renewed = await env.signin(() => renew(env));
  return renewed ? await once(env, asked) : first;
}

/** The token is new afterwards; another tab may have been quicker, then the browser holds its cookie already. */
async function renew(env: HttpEnv): Promise<boolean> {
  const heard = await once(env, { method: 'POST', path: refreshPath, body: '{}' });
  if (heard === null) return false;
  if (heard.status === 409) {
    await env.pause(heard.retryAfterMs ?? 2_000);
    return true;
  }
  return heard.status >= 200 && heard.status < 300;
}

async function once(env: HttpEnv, asked: Asked): Promise<Heard | null> {
  try {
    const response = await env.fetch(asked.path, {
      method: asked.method,
      credentials: 'same-origin',
      cache: 'no-store',
      redirect: 'error',
      signal: AbortSignal.timeout(limitMs),
      headers: {
        Accept: 'application/json',
        ...(asked.method === 'GET' ? {} : { 'Content-Type': 'application/json' }),
      },
      ...(asked.body === undefined ? {} : { body: asked.body }),
    });
    const body = await response.text();
    if (response.status !== 204 && !isJson(response.headers.get('Content-Type'))) return null;
    return { status: response.status, body, retryAfterMs: retryAfter(response.headers.get('Retry-After')) };
  } catch {
    return null; // offline, the time limit, or a redirect to a page that is not ours
  }
}

function isJson(type: string | null): boolean {
  return /^application\/(problem\+)?json\b/i.test(type ?? '');
}

function retryAfter(header: string | null): number | null {
  return header !== null && /^\d{1,6}$/.test(header) ? Number(header) * 1_000 : null;
}

/** The code of a problem answer, '' when there is none. */
export function codeOf(body: string): string {
  try {
    const problem: unknown = JSON.parse(body);
    return typeof problem === 'object' && problem !== null && 'code' in problem && typeof problem.code === 'string'
      ? problem.code
      : '';
  } catch {
    return '';
  }
}
