/** The built binary, for browser stories: started, stopped and started again on the same data. */
import { type ChildProcess, execFile, spawn } from 'node:child_process';
import { existsSync } from 'node:fs';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import { moment } from './clock.ts';

/** FAIRMEASURE_BINARY, or `fairmeasure` at the root of the project, where `go build ./cmd/fairmeasure` puts it. */
export function binary(): string {
  const path = process.env.FAIRMEASURE_BINARY ?? fileURLToPath(new URL('../../fairmeasure', import.meta.url));
  if (!existsSync(path)) throw new Error(`there is no ${path}: run go build ./cmd/fairmeasure at the root first`);
  return path;
}

const startMs = 60_000;
const stopMs = 15_000;

/** A process on a folder and a port of its own. */
abstract class Running {
  readonly data: string;
  /** Free when it first starts, then kept: the port is part of the origin, and the browser's store belongs to it. */
  port = 0;
  /** What it wrote to standard error. */
  log = '';
  #child: ChildProcess | null = null;

  protected constructor(data: string) {
    this.data = data;
  }

  /** The command and its own options. */
  protected abstract readonly command: readonly string[];
  /** Reads what was printed since the start; false until all that is waited for stands there. */
  protected abstract told(out: string, err: string): boolean;
  abstract get origin(): string;

  /** The server goes by the story's clock, as the browsers do. */
  protected get env(): NodeJS.ProcessEnv {
    return { ...process.env, FAIRMEASURE_CLOCK: moment() };
  }

  async start(): Promise<void> {
    if (this.#child) throw new Error('the server runs already');
    const child = spawn(binary(), [...this.command, '--data', this.data, '--listen', `127.0.0.1:${this.port}`], {
      stdio: ['ignore', 'pipe', 'pipe'],
      env: this.env,
    });
    this.#child = child;
    let out = '';
    let err = '';
    await new Promise<void>((resolve, reject) => {
      const late = setTimeout(() => fail(`nothing printed within ${startMs / 1000} s`), startMs);
      const fail = (why: string) => {
        clearTimeout(late);
        reject(new Error(`the server did not start: ${why}\n${out}${this.log}`));
      };
      const heard = () => {
        if (!this.told(out, err)) return;
        clearTimeout(late);
        resolve();
      };
      child.once('error', (error) => fail(error.message));
      child.once('exit', (code, signal) => {
        this.#child = null;
        fail(`it ended with ${signal ?? code}`);
      });
      child.stdout?.setEncoding('utf8').on('data', (text: string) => {
        out += text;
        heard();
      });
      child.stderr?.setEncoding('utf8').on('data', (text: string) => {
        err += text;
        this.log += text;
        heard();
      });
    });
    this.port = Number(new URL(this.origin).port);
    await this.#answers();
  }

  /** The link is printed before the first request is taken: wait until the page comes. */
  async #answers(): Promise<void> {
    const until = performance.now() + startMs;
    for (;;) {
      try {
        const response = await fetch(`${this.origin}/livez`);
        if (response.ok) return;
      } catch (error) {
        if (performance.now() > until) throw error;
      }
      await new Promise((resolve) => setTimeout(resolve, 50));
      if (performance.now() > until) throw new Error(`${this.origin}/livez does not answer\n${this.log}`);
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

const folder = () => mkdtemp(join(tmpdir(), 'fairmeasure-'));

/** The demo: two one-time codes, and the invented journal. */
export class Demo extends Running {
  protected readonly command = ['demo'];
  /** The link that opens the app already admitted; new at each start, good once. */
  open = '';
  /** The code that admits a second browser; new at each start, good once. */
  phone = '';

  static async start(): Promise<Demo> {
    const demo = new Demo(await folder());
    await demo.start();
    return demo;
  }

  get origin(): string {
    return new URL(this.open).origin;
  }

  protected told(out: string): boolean {
    this.open = /^open\s+(\S+)$/m.exec(out)?.[1] ?? '';
    this.phone = /^phone\s+(\S+)$/m.exec(out)?.[1] ?? '';
    return this.open !== '' && this.phone !== '';
  }
}

/** A keeper's own server, with nobody in it at first. */
export class Served extends Running {
  protected readonly command = ['serve', '--log', 'warn'];
  origin = '';
  /** The link that makes the owner's account; '' once there is an owner. */
  setUp = '';

  static async start(): Promise<Served> {
    const served = new Served(await folder());
    await served.start();
    return served;
  }

  protected told(_out: string, err: string): boolean {
    this.origin = /^serving\s+(\S+)$/m.exec(err)?.[1] ?? '';
    this.setUp = /\S+\/setup#key=\w+/.exec(err)?.[0] ?? '';
    return this.origin !== '' && err.endsWith('\n\n');
  }

  /** Another command on its data, while it is stopped; the answer is all it printed. */
  async keeper(command: string[], ...rest: string[]): Promise<string> {
    const { stdout, stderr } = await promisify(execFile)(binary(), [...command, '--data', this.data, ...rest], {
      env: this.env,
    });
    return stdout + stderr;
  }
}
