import { readdirSync, readFileSync } from 'node:fs';
import { expect, it } from 'vitest';

const app = new URL('../', import.meta.url);
const makes = /\bsave\(\s*\{\s*do: '(again|plain|several|water|pour|delete|restore|day|anchor|trial)'/;

it('no button makes, deletes or toggles with one touch but through Once', () => {
  const screens = readdirSync(app, { recursive: true, encoding: 'utf8' }).filter((path) => path.endsWith('.tsx'));
  let buttons = 0;
  const bare = screens.flatMap((path) => {
    const found = readFileSync(new URL(path, app), 'utf8').match(/<button\b[^]*?<\/button>/g) ?? [];
    buttons += found.length;
    return found.filter((button) => makes.test(button)).map((button) => `${path}: ${button.slice(0, 200)}`);
  });
  expect(bare).toEqual([]);
  expect(buttons).toBeGreaterThan(50);
});
