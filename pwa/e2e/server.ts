/** The built binary with the invented journal, for browser stories: started, stopped and started again on the same data. */
import { type ChildProcess, spawn } from 'node:child_process';
import { existsSync } from 'node:fs';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

/** FAIRMEASURE_BINARY, or `fairmeasure` at the root of the project, where `go build ./cmd/fairmeasure` puts it. */
export function binary(): string {
  const path = process.env.FAIRMEASURE_BINARY ?? fileURLToPath(new URL('../../fairmeasure', import.meta.url));
  if (!existsSync(path)) throw new Error(`there is no ${path}: run go build ./cmd/fairmeasure at the root first`);
  return path;
}

const startMs = 60_000;
const stopMs = 15_000;

export class Demo {
  readonly data: string;
  /** Free when it first starts, then kept: the port is part of the origin, and the browser's store belongs to it. */
  port = 0;
  /** The link that opens the app already admitted; new at each start, good once. */
  open = '';
  /** The code that admits a second browser; new at each start, good once. */
  phone = '';
  /** What the server wrote to standard error. */
  log = '';
  #child: ChildProcess | null = null;

  private constructor(data: string) {
    this.data = data;
  }

  /** On a folder and a port of its own; `remove` deletes the folder. */
  static async start(): Promise<Demo> {
    const demo = new Demo(await mkdtemp(join(tmpdir(), 'fairmeasure-')));
    await demo.start();
    return demo;
  }

  get origin(): string {
    return new URL(this.open).origin;
  }

  async start(): Promise<void> {
    if (this.#child) throw new Error('the server runs already');
    const child = spawn(binary(), ['demo', '--data', this.data, '--listen', `127.0.0.1:${this.port}`], {
      stdio: ['ignore', 'pipe', 'pipe'],
      env: { ...process.env, TZ: 'Europe/Berlin' }, // as the browsers: the demo's evenings are where the person is
    });
    this.#child = child;
    this.open = this.phone = '';
    let out = '';
    child.stderr?.setEncoding('utf8').on('data', (text: string) => void (this.log += text));
    await new Promise<void>((resolve, reject) => {
      const late = setTimeout(() => fail(`nothing printed within ${startMs / 1000} s`), startMs);
      const fail = (why: string) => {
        clearTimeout(late);
        reject(new Error(`the server did not start: ${why}\n${out}${this.log}`));
      };
      child.once('error', (error) => fail(error.message));
      child.once('exit', (code, signal) => {
        this.#child = null;
        fail(`it ended with ${signal ?? code}`);
      });
      child.stdout?.setEncoding('utf8').on('data', (text: string) => {
        out += text;
        this.open = /^open\s+(\S+)$/m.exec(out)?.[1] ?? '';
        this.phone = /^phone\s+(\S+)$/m.exec(out)?.[1] ?? '';
        if (this.open === '' || this.phone === '') return;
        clearTimeout(late);
        resolve();
      });
    });
    this.port = Number(new URL(this.open).port);
    await this.#answers();
  }

  /** The link is printed before the first request is taken: wait until the page comes. */
  async #answers(): Promise<void> {
    const until = Date.now() + startMs;
    for (;;) {
      try {
        const response = await fetch(`${this.origin}/livez`);
        if (response.ok) return;
      } catch (error) {
        if (Date.now() > until) throw error;
      }
      await new Promise((resolve) => setTimeout(resolve, 50));
      if (Date.now() > until) throw new Error(`${this.origin}/livez does not answer\n${this.log}`);
    }
  }

  /** SIGTERM, and the end of the process. The data stays. */
  async stop(): Promise<void> {
    const child = this.#child;
    if (!child) return;
    const ended = new Promise<void>((resolve, reject) => {
      const late = setTimeout(() => {
        child.kill('SIGKILL');
        reject(new Error(`the server did not end within ${stopMs / 1000} s of SIGTERM\n${this.log}`));
      }, stopMs);
      child.once('exit', () => {
        clearTimeout(late);
        resolve();
      });
    });
    child.kill('SIGTERM');
    await ended;
    this.#child = null;
  }

  async remove(): Promise<void> {
    await this.stop();
    await rm(this.data, { recursive: true, force: true });
  }
}
