import { describe, expect, it } from 'vitest';
import { codeOf, type HttpEnv, request } from './http.ts';

const json = (status: number, body: unknown, headers: Record<string, string> = {}) =>
  new Response(JSON.stringify(body), { status, headers: { 'Content-Type': 'application/json', ...headers } });
const expired = () =>
  new Response('{"code":"expired"}', { status: 401, headers: { 'Content-Type': 'application/problem+json' } });

function server(answers: (Response | Error)[]) {
  const seen: string[] = [];
  const sent: (RequestInit | undefined)[] = [];
  const paused: number[] = [];
  const env: HttpEnv = {
    fetch: async (input, init) => {
      seen.push(`${init?.method} ${String(input)}`);
      sent.push(init);
      const answer = answers.shift();
      if (!answer) throw new Error('asked once too often');
      if (answer instanceof Error) throw answer;
      return answer;
    },
    signin: (work) => work(),
    pause: async (ms) => void paused.push(ms),
  };
  return { env, seen, sent, paused };
}

const sync = { method: 'POST', path: '/api/v1/journals/j/sync', body: '{"proto":1}' } as const;

describe('a request', () => {
  it('carries the cookie, says JSON, has a time limit', async () => {
    const { env, sent } = server([json(200, { took: 1 })]);
    expect(await request(env, sync)).toEqual({ status: 200, body: '{"took":1}', retryAfterMs: null });
    expect(sent[0]).toMatchObject({ credentials: 'same-origin', redirect: 'error', body: sync.body });
    expect(sent[0]?.headers).toMatchObject({ 'Content-Type': 'application/json' });
    expect(sent[0]?.signal).toBeInstanceOf(AbortSignal);
  });

  it.each([
    ['no network', new TypeError('fetch failed')],
    ["a hotel's sign-in page", new Response('<html>', { status: 200, headers: { 'Content-Type': 'text/html' } })],
    ['no type at all', new Response('{}', { status: 200, headers: { 'Content-Type': '' } })],
  ])('%s is no answer', async (_what, answer) => {
    expect(await request(server([answer]).env, sync)).toBeNull();
  });

  it.each([
    [410, 'erased'],
    [401, 'wrong'],
    [403, 'revoked'],
    [429, 'too_many_tries'],
  ])('%i %s is an answer, and nothing is asked again', async (status, code) => {
    const { env, seen } = server([json(status, { code })]);
    expect(await request(env, { method: 'GET', path: '/api/v1/auth/me' })).toMatchObject({ status });
    expect(seen).toEqual(['GET /api/v1/auth/me']);
  });

  it('reads how long a busy server wants quiet', async () => {
    const { env } = server([json(503, { code: 'busy' }, { 'Retry-After': '7' })]);
    expect(await request(env, sync)).toMatchObject({ status: 503, retryAfterMs: 7_000 });
  });
});

describe('a token that ran out', () => {
  it('is renewed once, then the same body goes again', async () => {
    const { env, seen, sent } = server([expired(), json(200, {}), json(200, { took: 1 })]);
    expect(await request(env, sync)).toMatchObject({ status: 200, body: '{"took":1}' });
    expect(seen).toEqual(['POST /api/v1/journals/j/sync', 'POST /api/v1/auth/refresh', 'POST /api/v1/journals/j/sync']);
    expect(sent[2]?.body).toBe(sync.body);
  });

  it('is not renewed twice', async () => {
    const { env, seen } = server([expired(), json(200, {}), expired()]);
    expect(await request(env, sync)).toMatchObject({ status: 401 });
    expect(seen).toHaveLength(3);
  });

  it('stays run out when the renewal is refused', async () => {
    const { env, seen } = server([expired(), json(401, { code: 'signed_out' })]);
    expect(await request(env, sync)).toMatchObject({ status: 401, body: '{"code":"expired"}' });
    expect(seen).toHaveLength(2);
  });

  it('was renewed by another tab: wait as told, go on with its cookie', async () => {
    const { env, paused } = server([expired(), json(409, {}, { 'Retry-After': '2' }), json(200, {})]);
    expect(await request(env, sync)).toMatchObject({ status: 200 });
    expect(paused).toEqual([2_000]);
  });

  it('is known by its code: another 401 is handed on', async () => {
    const { env, seen } = server([json(401, { code: 'unknown_device' })]);
    expect(await request(env, sync)).toMatchObject({ status: 401 });
    expect(seen).toHaveLength(1);
  });
});

it('codeOf takes whatever comes', () => {
  expect(['{"code":"revoked"}', '{"code":7}', '[]', 'null', '<html>', ''].map(codeOf)).toEqual([
    'revoked',
    '',
    '',
    '',
    '',
    '',
  ]);
});
