import { execFileSync } from 'node:child_process';
import { expect, type Locator, type Page } from '@playwright/test';
import { words } from '../src/app/words.ts';
import { later } from '../src/app/words/en/later.ts';
import { Device, setOf } from './device.ts';
import { binary, Demo } from './server.ts';
import { test } from './story.ts';

let demo: Demo;
test.beforeEach(async () => {
  demo = await Demo.start();
});
test.afterEach(() => demo.remove());

const typed = ['45 ml gin, 44 %', '¾ oz lemon juice', '22,5 ml honey syrup', '2 dashes orange bitters'] as const;

/** A hand that counts how often it touches the glass. */
class Hand {
  touches = 0;

  async tap(what: Locator): Promise<void> {
    this.touches++;
    await what.tap();
  }
}

test('recorded on a phone with no signal and no server, on its disk before the word, seen on the laptop after', async ({
  browser,
}) => {
  const laptop = await Device.laptop(browser, demo);
  await expect(laptop.page).toHaveURL(`${demo.origin}/`); // the code is out of the address
  await expect(laptop.page.getByRole('heading', { level: 1 })).toHaveText(words.rooms.tonight);
  await expect(laptop.page.getByText('Orchard Sour').first()).toBeVisible();
  const phone = await Device.phone(browser, demo);
  const { page } = phone;
  await expect(page).toHaveURL(`${demo.origin}/`);
  await laptop.page.getByRole('link', { name: words.rooms.keeper }).click();
  await expect(laptop.page.getByRole('listitem').filter({ hasText: words.pair.names.phone }).first()).toBeVisible();
  await laptop.page.getByRole('link', { name: words.rooms.tonight }).click();

  await page.getByRole('link', { name: words.rooms.specs }).tap();
  const bitter = await page.getByRole('link', { name: /Bitter: gentian, 5 ml/ }).getAttribute('href');
  const weekBefore = await weekOf(page);
  expect(weekBefore.session.pours).toBe(2);

  await test.step('no signal, no server: the app opens again, also at a deep link', async () => {
    await phone.installed();
    await phone.context.setOffline(true);
    await demo.stop();
    await page.reload();
    await expect(page.getByRole('heading', { level: 1 })).toHaveText(words.rooms.week);
    await page.goto(`${demo.origin}${bitter}`);
    await expect(page.getByRole('heading', { level: 1 })).toHaveText('Orchard Sour');
    await expect(page.getByRole('button', { name: /5 ml gentian liqueur/ })).toBeVisible();
    await expect(page.locator('header')).toContainText(words.state.offline);
    await phone.watchSaves();
  });

  const times: string[] = [];
  let spec = '';
  await test.step('a spec is written as typed lines and weighed while typing', async () => {
    await page.getByRole('link', { name: words.rooms.specs }).tap();
    await page.getByRole('link', { name: later.specs.act }).tap();
    await page.getByLabel(later.editor.drink, { exact: true }).fill('Garden Wall');
    await page.getByLabel(later.editor.method, { exact: true }).selectOption('shaken');
    const live = page.getByRole('complementary', { name: later.editor.live });
    const volumes: number[] = [];
    for (const [i, text] of typed.entries()) {
      const line = page.getByLabel(later.editor.line(i + 1), { exact: true });
      await line.pressSequentially(text);
      await expect(line).toHaveAccessibleDescription(/ml$/);
      const volume = live
        .getByRole('row', { name: /^Volume/ })
        .getByRole('cell')
        .first();
      await expect.poll(async () => Number.parseFloat(await volume.innerText())).toBeGreaterThan(volumes.at(-1) ?? 0);
      volumes.push(Number.parseFloat(await volume.innerText()));
      if (i < typed.length - 1) await line.press('Enter');
    }
    const save = await phone.saving(
      () => page.getByRole('button', { name: later.editor.act }).tap(),
      later.editor.saved,
    );
    const lines = save.actions.at(-1)?.edits.filter(({ kind }) => kind === 'line') ?? [];
    expect(lines.map(({ set }) => set.typed)).toEqual([...typed]);
    expect(setOf(save.actions.at(-1), 'drink').name).toBe('Garden Wall');
    times.push(`a spec ${save.afterTapMs.toFixed(0)} ms`);
    await expect(page).toHaveURL(/\/specs\/[0-9A-Z]{26}$/);
    spec = new URL(page.url()).pathname;
  });

  await test.step('its page shows each figure before and after the ice, with its band, as the command line weighs it', async () => {
    const said = check(typed.map((line) => (line.endsWith('bitters') ? `${line}, 45 %` : line)));
    // The strength of the demo's own bottle, 45 %, stands for the bitters in both.
    const digits = { volume_ml: 0, abv_percent: 1, alcohol_g: 1, sugar_g_per_100ml: 1, acid_percent: 2 } as const;
    for (const key of Object.keys(digits) as (keyof typeof digits)[]) {
      const row = page.getByRole('row', { name: new RegExp(`^${words.balance.label[key]}`) });
      for (const [i, side] of (['before', 'after'] as const).entries()) {
        const [value, low, high] = figuresIn(await row.getByRole('cell').nth(i).innerText());
        expect(value, `${key} ${side}`).toBe(said[side][key].value.toFixed(digits[key]));
        expect(Number(low), `${key} ${side}`).toBeLessThanOrEqual(Number(value));
        expect(Number(high), `${key} ${side}`).toBeGreaterThanOrEqual(Number(value));
        expect(Number(low), `${key} ${side}`).toBeLessThan(Number(high));
      }
    }
    // Outside the program: 45 ml of 44 % and 1.8 ml of 45 %, and 0.78924 g in each millilitre of alcohol (OIML R 22, 20 °C).
    const grams = (45 * 0.44 + 1.8 * 0.45) * 0.78924;
    expect(
      figuresIn(
        await page
          .getByRole('row', { name: /^Alcohol/ })
          .getByRole('cell')
          .first()
          .innerText(),
      )[0],
    ).toBe(grams.toFixed(1));
  });

  await test.step('it is poured, scored 8.5 and noted', async () => {
    await page.getByRole('link', { name: later.spec.pour }).tap();
    for (const shown of ['7', '7½', '8', '8½']) {
      await page.getByRole('button', { name: words.sheet.scoreMore }).tap();
      await expect(page.getByRole('spinbutton', { name: words.sheet.scoreLabel })).toContainText(shown);
    }
    await page.getByLabel(words.sheet.note, { exact: true }).fill('Bright, and the honey stays.');
    const save = await phone.saving(
      () => page.getByRole('button', { name: words.sheet.save }).tap(),
      words.tonight.poured('Garden Wall'),
    );
    expect(setOf(save.actions.at(-1), 'pour')).toMatchObject({
      score_x10: 85,
      note: 'Bright, and the honey stays.',
      spec: spec.split('/').at(-1),
    });
    times.push(`a pour ${save.afterTapMs.toFixed(0)} ms`);
  });

  await test.step('the same again with one ingredient swapped: at most four touches from Tonight', async () => {
    await page.getByRole('link', { name: words.rooms.tonight }).tap();
    await expect(page.getByRole('heading', { level: 1 })).toHaveText(words.rooms.tonight);
    const hand = new Hand();
    await hand.tap(page.getByRole('link', { name: words.tonight.withSwap }));
    await hand.tap(page.getByRole('radio', { name: /^coastal gin, salty/ }));
    const save = await phone.saving(
      () => hand.tap(page.getByRole('button', { name: words.sheet.save })),
      words.tonight.poured('Garden Wall'),
    );
    expect(hand.touches).toBeLessThanOrEqual(4);
    const made = String(setOf(save.actions.at(-1), 'pour').made);
    expect(made).toContain('coastal gin, salty');
    expect(made).not.toContain('gin, 44 %');
    times.push(`a pour with a swap ${save.afterTapMs.toFixed(0)} ms`);
    await expect(page.getByRole('listitem').filter({ hasText: 'coastal gin, salty, 43 %' })).toBeVisible();
  });

  await test.step('the same again: at most two touches', async () => {
    const hand = new Hand();
    const save = await phone.saving(
      () => hand.tap(page.getByRole('button', { name: words.tonight.same })),
      words.tonight.poured('Garden Wall'),
    );
    expect(hand.touches).toBeLessThanOrEqual(2);
    expect(String(setOf(save.actions.at(-1), 'pour').made)).toContain('coastal gin, salty');
    times.push(`same again ${save.afterTapMs.toFixed(0)} ms`);
  });

  const promised = await test.step('a plain drink of 330 ml, 5 %: at most two touches', async () => {
    await expect(page.getByTestId('evening').getByRole('listitem')).toHaveCount(5);
    const button = page.getByRole('button', { name: /330 ml, 5 %/ });
    const to = /to ([\d.]+)$/.exec(await button.innerText())?.[1];
    const hand = new Hand();
    await hand.tap(page.getByRole('link', { name: words.tonight.pour, exact: true }));
    await expect(page.getByRole('heading', { level: 1 })).toHaveText(words.sheet.choose);
    const save = await phone.saving(() => hand.tap(page.getByRole('button', { name: /330 ml, 5 %/ })), 'Saved');
    expect(hand.touches).toBeLessThanOrEqual(2);
    expect(setOf(save.actions.at(-1), 'pour')).toMatchObject({ vol_ul: 330_000, abv_bp: 500 });
    times.push(`a plain drink ${save.afterTapMs.toFixed(0)} ms`);
    return to;
  });

  const [before, after] = await test.step('Tonight and Week count all of it', async () => {
    const evening = page.getByRole('region', { name: words.tonight.soFar });
    await expect(evening.getByTestId('total')).toHaveText(promised ?? '');
    const rows = page.getByTestId('evening').getByRole('listitem');
    await expect(rows).toHaveCount(6);
    // 330 ml × 5 % × 0.78924 g/ml = 13.0 g; Australia counts by 10 g.
    await expect(rows.last().getByTestId('drinks')).toHaveText(((330 * 0.05 * 0.78924) / 10).toFixed(1));
    // What the glasses say each, and what the evening came to before, make the evening's sum, each rounded once.
    const said = await rows.getByTestId('drinks').allInnerTexts();
    const sum = said.reduce((all, text) => all + Number(text), 0);
    expect(Math.abs(sum - Number(promised))).toBeLessThanOrEqual(0.05 * said.length);

    const week = await weekOf(page);
    expect(week.session.pours).toBe(6);
    expect(week.session.drinks).toBe(Number(promised));
    const more = week.session.grams - weekBefore.session.grams;
    expect(more).toBeGreaterThan(0);
    for (const span of ['lastSeven', 'calendar'] as const) {
      expect(Math.abs(week[span].grams - weekBefore[span].grams - more), span).toBeLessThanOrEqual(2);
      expect(Math.abs(week[span].drinks - week[span].grams / 10), span).toBeLessThanOrEqual(0.1);
    }
    return [weekBefore, week];
  });
  expect(after.lastSeven.drinks).toBeGreaterThan(before.lastSeven.drinks);

  const unsent = await phone.queue();
  expect(unsent.length).toBeGreaterThanOrEqual(5);
  await expect(page.locator('header')).toContainText(words.state.offline);
  await expect(page.getByText(words.unsent(unsent.length))).toBeVisible();

  await test.step('the server comes back on the same data: all of it is sent, and the laptop sees it', async () => {
    await demo.start();
    await phone.context.setOffline(false);
    await phone.agrees();
    expect(await phone.queue()).toEqual([]);
    expect(await weekOf(page)).toEqual(after);
    // The laptop stayed open all the while; nobody touches it.
    await expect(laptop.page.getByTestId('evening').getByRole('listitem')).toHaveCount(6, { timeout: 40_000 });
    await laptop.agrees();
    expect(await weekOf(laptop.page)).toEqual(after);
    await laptop.page.goto(`${demo.origin}${spec}`);
    await expect(laptop.page.getByRole('heading', { level: 1 })).toHaveText('Garden Wall');
    for (const line of [
      '45 ml gin, 44 %',
      '¾ oz lemon juice',
      '22.5 ml honey syrup',
      '2 dashes orange bitters, 45 %',
    ]) {
      await expect(laptop.page.getByRole('button', { name: words.spec.changeLine(line) })).toBeVisible();
    }
    await laptop.page.getByRole('link', { name: words.rooms.journal }).click();
    const pour = laptop.page.getByRole('link', { name: /Garden Wall/ });
    await expect(pour).toHaveCount(3);
    await expect(laptop.page.getByText('Bright, and the honey stays.').first()).toBeVisible();
  });
  test.info().annotations.push({ type: 'from the tap to the word', description: times.join(', ') });
  console.log(`    from the tap to the word: ${times.join(', ')}`);
  await phone.close();
  await laptop.close();
});

interface Span {
  drinks: number;
  grams: number;
}

/** What the room Week says: the session, the last seven days, the calendar week, each in grams and in drinks. */
async function weekOf(page: Page): Promise<{ session: Span & { pours: number }; lastSeven: Span; calendar: Span }> {
  await page.getByRole('link', { name: words.rooms.week, exact: true }).click();
  await expect(page.getByRole('heading', { level: 1 })).toHaveText(words.rooms.week);
  await page.getByText(later.week.session, { exact: true }).waitFor();
  return page.evaluate(
    (label) => {
      const numbers = (text: string | null | undefined) => (text ?? '').match(/\d+(\.\d+)?/g)?.map(Number) ?? [];
      const own = (name: string) => {
        const found = [...document.querySelectorAll('main div:has(> p:first-child), main dl > div')].find((it) =>
          it.firstElementChild?.textContent?.startsWith(name),
        );
        const [drinks] = numbers(found?.children[1]?.textContent);
        const [grams, rest] = numbers(found?.children[2]?.textContent);
        if (drinks === undefined || grams === undefined) throw new Error(`Week does not say ${name}`);
        return { drinks, grams, rest };
      };
      const span = ({ drinks, grams }: { drinks: number; grams: number }) => ({ drinks, grams });
      const session = own(label.session);
      return {
        session: { ...span(session), pours: session.rest ?? 0 },
        lastSeven: span(own(label.lastSeven)),
        calendar: span(own(label.thisWeek)),
      };
    },
    { session: later.week.session, lastSeven: later.week.lastSeven, thisWeek: later.week.thisWeek },
  );
}

/** "22.5 22.2–22.6": the figure and its band. */
function figuresIn(text: string): string[] {
  return text.match(/\d+(\.\d+)?/g) ?? [];
}

type Side = Record<'volume_ml' | 'abv_percent' | 'alcohol_g' | 'sugar_g_per_100ml' | 'acid_percent', { value: number }>;

/** The same lines on the command line. */
function check(lines: readonly string[]): { before: Side; after: Side } {
  return JSON.parse(
    execFileSync(binary(), ['check', '--method', 'shaken', '--json'], { input: lines.join('\n'), encoding: 'utf8' }),
  );
}
