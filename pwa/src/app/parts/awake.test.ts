import { expect, it } from 'vitest';
import { awake } from './awake.ts';

class Page extends EventTarget {
  visibilityState: DocumentVisibilityState = 'visible';
  turn(to: DocumentVisibilityState) {
    this.visibilityState = to;
    this.dispatchEvent(new Event('visibilitychange'));
  }
}
const settled = () => new Promise((resolve) => setTimeout(resolve));

function locks() {
  const log: string[] = [];
  let n = 0;
  const request = () => {
    const mine = ++n;
    log.push(`on ${mine}`);
    return Promise.resolve({ release: () => Promise.resolve(void log.push(`off ${mine}`)) });
  };
  return { log, request };
}

it('is asked again when the page comes back, and ends with the last one', async () => {
  const page = new Page();
  const { log, request } = locks();
  const end = awake(page, request);
  await settled();
  page.turn('hidden');
  page.turn('visible');
  await settled();
  end();
  page.turn('visible');
  expect(log).toEqual(['on 1', 'on 2', 'off 2']);
});

it('gives back what came too late', async () => {
  const { log, request } = locks();
  awake(new Page(), request)();
  await settled();
  expect(log).toEqual(['on 1', 'off 1']);
});

it('does without where the browser refuses, and asks no further where it cannot', async () => {
  const page = new Page();
  let asked = 0;
  const end = awake(page, () => (asked++, Promise.reject(new Error('battery'))));
  await settled();
  page.turn('visible');
  await settled();
  end();
  expect(asked).toBe(2);
  const still = awake(page, undefined);
  page.turn('visible');
  still();
  expect(asked).toBe(2);
});
