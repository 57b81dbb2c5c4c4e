/** Builds the app without its core into a folder of its own and serves it as the real server does: same headers, same policy. */
import { createServer } from 'node:http';
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { extname, join } from 'node:path';
import { build } from 'vite';

export const port = 4199;
export const out = process.env.LOOK_OUT ?? join(tmpdir(), 'fairmeasure-look');
export const stagePath = join(out, 'stage.js');

const policy = [
  "default-src 'none'",
  "script-src 'self' 'wasm-unsafe-eval'",
  "worker-src 'self'",
  "connect-src 'self'",
  "style-src 'self'",
  "img-src 'self' data: blob:",
  "font-src 'self'",
  "manifest-src 'self'",
  "base-uri 'none'",
  "form-action 'none'",
  "frame-ancestors 'none'",
].join('; ');

const types: Record<string, string> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript',
  '.css': 'text/css',
  '.svg': 'image/svg+xml',
  '.png': 'image/png',
  '.webmanifest': 'application/manifest+json',
};

export default async function serve(): Promise<() => Promise<void>> {
  mkdirSync(out, { recursive: true });
  const dist = mkdtempSync(join(tmpdir(), 'fairmeasure-dist-'));
  await build({
    logLevel: 'error',
    build: { outDir: dist, emptyOutDir: true },
    worker: { plugins: () => [noCore] },
  });
  const fake = await build({
    configFile: false,
    logLevel: 'error',
    build: {
      write: false,
      minify: false,
      lib: { entry: 'look/fake-worker.ts', formats: ['iife'], name: 'fake' },
    },
  });
  const bundle = Array.isArray(fake) ? fake[0] : fake;
  if (!bundle || !('output' in bundle)) throw new Error('look: the fake worker was not built');
  writeFileSync(stagePath, bundle.output[0].code);

  const page = readFileSync(join(dist, 'index.html'));
  const server = createServer((request, response) => {
    const path = new URL(request.url ?? '/', 'http://look').pathname;
    let body = page;
    let type = types['.html'];
    if (extname(path) !== '') {
      try {
        body = readFileSync(join(dist, path));
        type = types[extname(path)];
      } catch {
        response.writeHead(404).end();
        return;
      }
    }
    response
      .writeHead(200, {
        'Content-Type': type ?? 'application/octet-stream',
        'Content-Security-Policy': policy,
        'Cache-Control': 'no-cache',
      })
      .end(body);
  });
  await new Promise<void>((resolve) => server.listen(port, '127.0.0.1', resolve));
  return async () => {
    server.closeAllConnections();
    await new Promise((resolve) => server.close(resolve));
    rmSync(dist, { recursive: true });
  };
}

/** The worker's file is built but never started here; what it imports of the core may not be there yet. */
const noCore = {
  name: 'no-core',
  enforce: 'pre' as const,
  resolveId: (source: string) =>
    source.includes('core.wasm') || source.includes('wasm_exec.js') ? `\0${source}` : null,
  load: (id: string) =>
    id.startsWith('\0') && (id.includes('core.wasm') || id.includes('wasm_exec.js')) ? 'export default "";' : null,
};
