/** The built app from a folder, without a server behind it: for what concerns the app's own files only. */
import { createServer, type Server } from 'node:http';
import { cp, mkdtemp, readFile, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { extname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

const dist = fileURLToPath(new URL('../dist', import.meta.url));

const types: Record<string, string> = {
  '.css': 'text/css; charset=utf-8',
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.png': 'image/png',
  '.svg': 'image/svg+xml',
  '.wasm': 'application/wasm',
  '.webmanifest': 'application/manifest+json',
};

export class StaticApp {
  readonly folder: string;
  readonly port: number;
  /** Every path that was asked for, in order. */
  readonly asked: string[] = [];
  #server: Server | null = null;

  private constructor(folder: string, port: number) {
    this.folder = folder;
    this.port = port;
  }

  static async start(port: number): Promise<StaticApp> {
    const folder = await mkdtemp(join(tmpdir(), 'fairmeasure-app-'));
    await cp(dist, folder, { recursive: true });
    const app = new StaticApp(folder, port);
    await app.start();
    return app;
  }

  get origin(): string {
    return `http://127.0.0.1:${this.port}`;
  }

  async start(): Promise<void> {
    this.#server = createServer((request, response) => {
      const path = new URL(request.url ?? '/', this.origin).pathname;
      this.asked.push(path);
      const file = extname(path) === '' ? '/index.html' : path;
      if (path.startsWith('/api/')) {
        response.writeHead(503, { 'Content-Type': 'application/problem+json' }).end('{"code":"busy"}');
        return;
      }
      readFile(join(this.folder, file)).then(
        (content) =>
          response
            .writeHead(200, {
              'Content-Type': types[extname(file)] ?? 'application/octet-stream',
              'Cache-Control': 'no-cache',
            })
            .end(content),
        () => response.writeHead(404).end(),
      );
    });
    await new Promise<void>((resolve) => this.#server?.listen(this.port, '127.0.0.1', resolve));
  }

  async stop(): Promise<void> {
    const server = this.#server;
    this.#server = null;
    if (!server) return;
    const closed = new Promise((resolve) => server.close(resolve));
    server.closeAllConnections();
    await closed;
  }

  /** A later build: another page, so another version of the service worker; the hashed files stay the same. */
  async release(mark: string): Promise<void> {
    const page = join(this.folder, 'index.html');
    await writeFile(
      page,
      (await readFile(page, 'utf8')).replace('<head>', `<head><meta name="mark" content="${mark}">`),
    );
    const worker = join(this.folder, 'sw.js');
    const text = await readFile(worker, 'utf8');
    const renamed = text.replace(/^const VERSION="[^"]*"/, `const VERSION="${mark}"`);
    if (renamed === text) throw new Error('dist/sw.js does not begin with its version: was the app built?');
    await writeFile(worker, renamed);
  }

  async remove(): Promise<void> {
    await this.stop();
    await rm(this.folder, { recursive: true, force: true });
  }
}
