/**
 * The service worker: every file of one version in one cache, pages from it without a network, nothing of /api ever.
 * The build puts VERSION and FILES before this text. A new version waits until the page says "take over".
 */
declare const VERSION: string;
declare const FILES: readonly (readonly [path: string, hash: string])[];

const worker = self as unknown as ServiceWorkerGlobalScope;
const name = `app-${VERSION}`;

worker.addEventListener('install', (event) => event.waitUntil(fill()));
worker.addEventListener('activate', (event) => event.waitUntil(takeOver()));
worker.addEventListener('message', (event) => {
  if (event.data === 'take over') void worker.skipWaiting();
});
worker.addEventListener('fetch', (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.method !== 'GET' || url.origin !== worker.location.origin || url.pathname.startsWith('/api/')) return;
  event.respondWith(fromCache(request.mode === 'navigate' ? '/index.html' : url.pathname, request));
});

async function fill(): Promise<void> {
  const cache = await caches.open(name);
  await Promise.all(
    FILES.map(async ([path]) => {
      // Files under /assets carry their hash in the name: one of an older version is the same.
      const held = path.startsWith('/assets/') ? await caches.match(path) : undefined;
      const response = held ?? (await fetch(path, { cache: 'reload' }));
      const html = (response.headers.get('Content-Type') ?? '').startsWith('text/html');
      if (!response.ok || response.redirected || html !== (path === '/index.html'))
        throw new Error(`sw: ${path} did not come as itself`);
      await cache.put(path, response);
    }),
  );
}

async function takeOver(): Promise<void> {
  const names = await caches.keys();
  await Promise.all(
    names.filter((other) => other.startsWith('app-') && other !== name).map((other) => caches.delete(other)),
  );
  await worker.clients.claim();
}

async function fromCache(path: string, request: Request): Promise<Response> {
  return (await (await caches.open(name)).match(path)) ?? fetch(request);
}

export type {};
