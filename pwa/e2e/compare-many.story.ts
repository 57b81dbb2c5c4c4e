import { expect } from '@playwright/test';
import type { Id, Question } from '../src/shared/core.ts';
import { later } from '../src/app/words/en/later.ts';
import { now } from './clock.ts';
import { Device, phoneShape } from './device.ts';
import { giveHand, type Hand } from './hand.ts';
import { Demo } from './server.ts';
import { test } from './story.ts';

let demo: Demo;
test.beforeEach(async () => {
  demo = await Demo.start();
});
test.afterEach(() => demo.remove());

const side = 50;
/** The long run takes 200. */
const tastings = Number(process.env.TASTINGS ?? 20);

test(`${side} by ${side} with ${tastings} tastings: the core answers, and the page goes on meanwhile`, async ({
  browser,
}, info) => {
  test.setTimeout(60_000 + tastings * 1000);
  const phone = await Device.fresh(browser, phoneShape);
  const { page } = phone;
  await giveHand(page);
  await page.addInitScript(() => {
    // The longest the page was held up by anything.
    let longest = 0;
    new PerformanceObserver((list) => {
      for (const { duration } of list.getEntries()) longest = Math.max(longest, duration);
    }).observe({ type: 'longtask', buffered: true });
    Object.assign(window, { longest: () => longest });
  });
  await page.goto(demo.open);
  await phone.agrees();
  await page.goto(`${demo.origin}/side/new`); // where nothing is asked again at each change
  await phone.agrees();

  const comparison = await page.evaluate(
    async ({ side, tastings, now }) => {
      const { ask, act } = (window as unknown as { hand: Hand }).hand;
      let made = 0;
      const id = (): Id => `01MMMMMMMM${String(++made).padStart(16, '0')}`;
      const { drinks } = await ask({ q: 'comparisons' });
      const base = drinks[0];
      const lines = base?.lines.slice(0, 2).map(({ line }) => line) ?? [];
      const [first, second] = lines;
      if (!base || !first || !second) throw new Error('the demo has no benchmark of two lines');
      const names = (what: string) => Array.from({ length: side - 1 }, (_, i) => `${what} number ${i + 1}`);
      const { made: comparison } = await act({
        do: 'compare',
        id: id(),
        base: base.base,
        lines,
        name: 'Fifty by fifty',
      });
      const { swaps: empty } = await ask({ q: 'comparison', id: comparison });
      for (const [i, what] of ['grain spirit', 'fruit spirit'].entries())
        for (const name of names(what)) await act({ do: 'candidate', id: id(), swap: empty[i]?.id ?? '', name });
      const { swaps } = await ask({ q: 'comparison', id: comparison });
      const [down = [], across = []] = swaps.map(({ effects }) => effects.filter((it) => !it.benchmark));
      // Each of the first with another of the second, over and over; the benchmark every eighth time.
      const riffs = new Map<Id, Id>();
      for (let i = 0; i < tastings; i++) {
        const at_ms = now - i * 5 * 3_600_000;
        const score_x10 = 40 + ((i * 35) % 60) - (((i * 35) % 60) % 5);
        const a = down[i % down.length]?.ingredient ?? '';
        const b = across[(i * 7) % across.length]?.ingredient ?? '';
        if (i % 8 === 0) {
          await act({ do: 'pour', id: id(), spec: base.base, score_x10: 70, at_ms, share_bp: 1000 });
          continue;
        }
        let spec = riffs.get(a);
        if (spec === undefined) {
          const poured = await act({
            do: 'pour',
            id: id(),
            spec: base.base,
            swap: { line: first, ingredient: a },
            at_ms,
            share_bp: 1000,
          });
          spec = poured.riff ?? '';
          riffs.set(a, spec);
        }
        const line = (await ask({ q: 'spec', id: spec })).lines[1]?.id ?? '';
        await act({ do: 'pour', id: id(), spec, swap: { line, ingredient: b }, score_x10, at_ms, share_bp: 1000 });
      }
      return comparison;
    },
    { side, tastings, now: now() },
  );

  const measured = await page.evaluate(
    async ({ comparison }) => {
      const { ask } = (window as unknown as { hand: Hand }).hand;
      const plan: Question = { q: 'plan', id: comparison, glasses: 6, pour_ul: 15_000, seed: '1' };
      const questions: Record<string, Question> = { comparison: { q: 'comparison', id: comparison }, plan };
      const out: Record<string, { ms: number; ticks: number }> = {};
      for (const [name, question] of Object.entries(questions)) {
        await ask(question); // warm
        const all = [];
        for (let i = 0; i < 5; i++) {
          let ticks = 0;
          const ticking = setInterval(() => ticks++, 1);
          const from = performance.now();
          await ask(question);
          all.push({ ms: Math.round(performance.now() - from), ticks });
          clearInterval(ticking);
        }
        all.sort((a, b) => a.ms - b.ms);
        out[name] = all[2] ?? { ms: 0, ticks: 0 };
      }
      return out;
    },
    { comparison },
  );
  for (const { ticks } of Object.values(measured)) expect(ticks).toBeGreaterThan(3); // while it was reckoned

  // The page itself: what it draws is cut until asked for, so that drawing it holds up nothing for long.
  await page.goto(`${demo.origin}/side/${comparison}`);
  const grid = page.getByRole('region', { name: later.compared.every });
  await expect(grid).toBeVisible();
  const longest = await page.evaluate(async () => {
    const { longest } = window as unknown as { longest: () => number };
    await new Promise((resolve) => setTimeout(resolve, 100));
    return Math.round(longest());
  });
  info.annotations.push({ type: 'measured', description: JSON.stringify({ ...measured, longest }) });
  console.log('measured', measured, 'longest task of the page', longest, 'ms');
  expect(longest, 'the page was held up for less than the answer took').toBeLessThan(measured.comparison?.ms ?? 0);
  await expect(grid.getByRole('cell')).toHaveCount(144);
  await phone.close();
});
