import { expect, type Page } from '@playwright/test';
import { objectionsTo, rules, type Rule } from './layout.ts';
import { test } from './story.ts';

/** A page as it should not be, and the same page as it should; without markup of its own the pieces stand in <main>. */
interface Pair {
  rule: Rule;
  what: string;
  broken: string;
  mended: string;
  style?: string;
}

const sentence = 'The lines say what goes into the glass, one to a line, in the order in which they are poured.';

const pairs: Pair[] = [
  {
    rule: 'scrolls sideways',
    what: 'an empty box wider than the window',
    style: '.wide { width: 500px; height: 1px } .frame { overflow-x: auto }',
    broken: '<div class="wide"></div>',
    mended: '<div class="frame" tabindex="0"><div class="wide"></div></div>',
  },
  {
    rule: 'scrolls sideways',
    what: 'what is read scrolls both ways',
    style: 'main { height: 300px; overflow-y: auto } .wide { height: 1px }',
    broken: '<div class="wide" style="width: 500px"></div><p style="height: 900px">Long</p>',
    mended: '<div class="wide" style="width: 100px"></div><p style="height: 900px">Long</p>',
  },
  {
    rule: 'out of the page',
    what: 'text that begins left of the page',
    broken: '<p style="margin-left: -40px">Begins too early</p>',
    mended: '<p>Begins in time</p>',
  },
  {
    rule: 'text cut off',
    what: 'a name in a box that is too narrow for it',
    style: '.name { white-space: nowrap; overflow: hidden; text-overflow: ellipsis }',
    broken: '<p class="name" style="width: 90px">Orchard Sour with a long name</p>',
    mended: '<p class="name" style="width: 300px">Orchard Sour with a long name</p>',
  },
  {
    rule: 'text cut off',
    what: 'lines in a box that is too low for them',
    style: '.low { overflow: hidden }',
    broken: `<div class="low" style="height: 30px"><p>${sentence}</p></div>`,
    mended: `<div class="low"><p>${sentence}</p></div>`,
  },
  {
    rule: 'squeezed text',
    what: 'a column of 96 px with nothing beside it',
    broken: `<p style="max-width: 96px">${sentence}</p>`,
    mended: `<p style="max-width: 30rem">${sentence}</p>`,
  },
  {
    rule: 'squeezed text',
    what: 'a figure that leaves its words a letter a line',
    style: '.totals { display: grid; gap: 0 16px } .fig { font-size: 52px; white-space: nowrap; margin: 0 }',
    broken: `<div class="totals" style="grid-template-columns: auto 1fr">
      <p class="fig">at least 12.6</p><div><span>standard drinks</span></div></div>`,
    mended: `<div class="totals"><p class="fig">at least 12.6</p><div><span>standard drinks</span></div></div>`,
  },
  {
    rule: 'small print',
    what: 'text of 12 px',
    broken: '<p style="font-size: 12px">from memory</p>',
    mended: '<p style="font-size: 14px">from memory</p>',
  },
  {
    rule: 'field too narrow',
    what: 'a line of a spec in 40 px',
    broken: '<label>Line <input style="width: 40px"></label>',
    mended: '<label>Line <input style="width: 240px"></label>',
  },
  {
    rule: 'field too narrow',
    what: 'a figure in 30 px',
    broken: '<label>How many <input inputmode="decimal" style="width: 30px"></label>',
    mended: '<label>How many <input inputmode="decimal" style="width: 60px"></label>',
  },
  {
    rule: 'field hides its text',
    what: 'what was typed is longer than its field',
    broken: '<label>Line <input value="45 ml gin, 44 % vol, cold" style="width: 150px"></label>',
    mended: '<label>Line <input value="45 ml gin, 44 % vol, cold" style="width: 240px"></label>',
  },
  {
    rule: 'field hides its text',
    what: 'a choice whose words do not fit',
    broken: '<label>Theme <select style="width: 90px"><option>as the system says</option></select></label>',
    mended: '<label>Theme <select style="width: 220px"><option>as the system says</option></select></label>',
  },
  {
    rule: 'field zooms on a phone',
    what: 'a field in 14 px',
    broken: '<label>Find <input style="font-size: 14px"></label>',
    mended: '<label>Find <input style="font-size: 16px"></label>',
  },
  {
    rule: 'small target',
    what: 'a link of 20 px in a line',
    style: 'a { display: inline-block }',
    broken: '<a href="#a" style="line-height: 20px">two values</a>',
    mended: '<a href="#a" style="line-height: 48px">two values</a>',
  },
  {
    rule: 'small target',
    what: 'a box to tick, alone and in its label',
    broken: '<input type="checkbox" aria-label="Garnish">',
    mended: '<label style="display: flex; min-height: 48px"><input type="checkbox">Garnish</label>',
  },
  {
    rule: 'covered',
    what: 'a button under another box',
    style: '.box { position: relative } .veil { position: absolute; inset: 0 }',
    broken: '<div class="box"><button>Save</button><div class="veil"></div></div>',
    mended: '<div class="box"><div class="veil"></div></div><button>Save</button>',
  },
  {
    rule: 'under a bar',
    what: 'a figure under an act that floats, though it could be scrolled clear',
    style: '.act { bottom: 0; height: 56px; background: #dc5 } p { height: 400px; padding-top: 490px }',
    broken: '<p>12.6 standard drinks</p><div class="act" style="position: sticky; width: 200px">Pour</div><p>more</p>',
    mended: '<p>12.6 standard drinks</p><div class="act" style="position: sticky">Pour</div><p>more</p>',
  },
  {
    rule: 'under a bar',
    what: 'the last line under a bar from edge to edge, with no room to scroll it clear',
    style: '.foot { position: fixed; inset: auto 0 0; height: 100px; background: #dc5 } .long { height: 900px }',
    broken: '<p class="long">first</p><p>the last line</p><div class="foot">Pour</div>',
    mended: '<p class="long">first</p><p style="margin-bottom: 120px">the last line</p><div class="foot">Pour</div>',
  },
  {
    rule: 'first heading',
    what: 'none',
    broken: '</main><main><p>Nobody says what this is.</p>',
    mended: '<p>The heading says what this is.</p>',
  },
  {
    rule: 'first heading',
    what: 'two',
    broken: '<h1>And again</h1>',
    mended: '<h2>And then</h2>',
  },
  {
    rule: 'title',
    what: 'none',
    broken: '<script>document.title = ""</script>',
    mended: '<script>document.title = "Tonight"</script>',
  },
];

/** Both of a pair in the same page, but for what makes the difference. */
async function shows(page: Page, { rule, what, style = '' }: Pair, body: string): Promise<void> {
  const heading =
    rule === 'first heading' && what === 'none' && body.startsWith('</main>') ? '' : '<h1>Orchard Sour</h1>';
  await page.setContent(`<!doctype html><html lang="en"><head><title>Fair Measure</title>
    <style>body { margin: 0; font: 16px/1.5 sans-serif; font-variant-numeric: tabular-nums lining-nums; overflow-wrap: anywhere } main { padding: 0 16px }
      button, input, select { box-sizing: border-box; font: inherit; min-height: 48px }
      ${style}</style></head>
    <body><main>${heading}${body}</main></body></html>`);
}

test('each rule of the layout objects to a page that breaks it, and to nothing of the mended one', async ({ page }) => {
  await page.setViewportSize({ width: 390, height: 640 });
  for (const pair of pairs) {
    await test.step(`${pair.rule}: ${pair.what}`, async () => {
      await shows(page, pair, pair.broken);
      const broken = await objectionsTo(page);
      expect
        .soft([...new Set(broken.map((it) => it.split(':')[0]))], `${pair.rule}: ${pair.what}`)
        .toEqual([pair.rule]);
      await shows(page, pair, pair.mended);
      expect.soft(await objectionsTo(page), `${pair.rule}: ${pair.what}, mended`).toEqual([]);
    });
  }
  expect([...new Set(pairs.map(({ rule }) => rule))].sort(), 'every rule has a page of its own').toEqual(
    [...rules].sort(),
  );
});

test('what nobody sees is not objected to, and what was scrolled stays where it was', async ({ page }) => {
  await page.setViewportSize({ width: 390, height: 640 });
  await page.setContent(`<!doctype html><html lang="en"><head><title>Fair Measure</title>
    <style>body { margin: 0 } .unseen { position: absolute; width: 1px; height: 1px; overflow: hidden;
      clip-path: inset(50%); white-space: nowrap }</style></head>
    <body><main><h1>Orchard Sour</h1>
      <p class="unseen">Said to a screen reader alone, <a href="#a">with a link</a></p>
      <p hidden><input style="width: 9px"></p>
      <details><summary style="min-height: 48px">More</summary><p style="font-size: 9px">small</p></details>
      <p style="height: 2000px"></p></main></body></html>`);
  await page.evaluate(() => scrollTo(0, 700));
  expect(await objectionsTo(page)).toEqual([]);
  expect(await page.evaluate(() => scrollY)).toBe(700);
});
