import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { FakePage } from './testing/fake-page.ts';

let page: FakePage;
let router: typeof import('./router.ts');

beforeEach(async () => {
  vi.resetModules();
  page = new FakePage('https://fair.example/');
  router = await import('./router.ts');
  router.listen();
});
afterEach(() => vi.unstubAllGlobals());

describe('match', () => {
  it.each([
    ['/', '/', {}],
    ['/journal', '/journal/', {}],
    ['/journal/:pour', '/journal/01KABC', { pour: '01KABC' }],
    ['/specs/:id/edit', '/specs/01K/edit', { id: '01K' }],
    ['/specs/:id', '/specs/a%20b', { id: 'a b' }],
    ['/specs/:id', '/specs/100%', { id: '100%' }],
    ['/journal/:pour', '/journal', null],
    ['/journal', '/journal/01K', null],
    ['/', '/nowhere', null],
  ])('%s against %s', (pattern, at, params) => {
    expect(router.match(pattern, at)).toEqual(params);
  });
});

describe('going', () => {
  it('to a page adds a step, going instead does not', () => {
    router.go('/specs');
    router.go('/specs/1');
    router.go('/specs/2', true);
    expect(router.path.value).toBe('/specs/2');
    router.back('/elsewhere');
    expect([router.path.value, page.address]).toEqual(['/specs', '/specs']);
  });

  it('back from a page opened from outside goes where the page says', () => {
    router.back('/keeper');
    expect([router.path.value, page.steps.length]).toEqual(['/keeper', 1]);
  });

  it('by a link of ours loads no page', () => {
    expect(page.click('/week')).toBe(true);
    expect(router.path.value).toBe('/week');
    page.click('/week');
    expect(page.steps).toHaveLength(2); // the place one is at is no step
  });

  it.each([
    ['another origin', 'https://other.example/week', {}],
    ['a new tab', '/week', { ctrlKey: true }],
    ['the middle button', '/week', { button: 1 }],
    ['a named window', '/week', { target: '_blank' }],
    ['a download', '/week', { download: true }],
  ])('leaves %s to the browser', (_what, href, more) => {
    expect(page.click(href, more)).toBe(false);
    expect(router.path.value).toBe('/');
  });
});

describe('scrolling', () => {
  it('a new page begins at its start, and the way back leads to where the page was left', () => {
    router.go('/journal');
    page.main.scrollTop = 700;
    router.go('/journal/1');
    expect(page.main.scrollTop).toBe(0);
    page.main.scrollTop = 90;
    router.back('/');
    expect([router.path.value, page.main.scrollTop]).toEqual(['/journal', 700]);
    router.go('/journal/2', true);
    expect(page.main.scrollTop).toBe(0);
  });
});
