/**
 * What a careful eye objects to on a page, whatever the page is: everything here is measured in the browser, and nothing is
 * known of the app. The functions below `objectionsTo` are sent into the page as they stand, so they use each other and the
 * limits, and nothing else.
 */
import type { Page } from '@playwright/test';

/** Each of them has a broken page and its mended twin in layout.story.ts. */
export const rules = [
  'scrolls sideways',
  'out of the page',
  'text cut off',
  'squeezed text',
  'small print',
  'field too narrow',
  'field hides its text',
  'field zooms on a phone',
  'small target',
  'covered',
  'under a bar',
  'first heading',
  'title',
] as const;
export type Rule = (typeof rules)[number];
type Objection = readonly [rule: Rule, what: string];

const limits = {
  /** px: what measuring may be off by. */
  slack: 1,
  /** px for a figure, a date or a choice; and for anything else that is typed. */
  fieldFew: 40,
  field: 120,
  /** px: a value that needs all the width there is, less this, does not fit into any field. */
  fieldEdges: 64,
  /** Letters: so many are scrolled through in any field. */
  fieldLetters: 60,
  /** px: below it a telephone zooms in when a field is entered. */
  fieldType: 16,
  /** px: no text is smaller. */
  type: 13.5,
  /** px each way for whatever is touched. */
  target: 24,
  /** Text of so many lines, or more, in a column narrower than this, with that much room left in the window. */
  squeezedLines: 4,
  squeezedWidth: 140,
  squeezedRoom: 160,
  /** A word of so many letters, or fewer, is never broken while half of the window or more is somewhere else. */
  wordLetters: 20,
  wordShare: 0.5,
  /** A bar that is as long as this share of what scrolls below it ends the page; a shorter one floats over it. */
  barShare: 0.9,
};

/** What is wrong with the page as it stands, at the size it has: "rule: what", each once. */
export async function objectionsTo(page: Page): Promise<string[]> {
  const script = `(async () => {
    const limits = ${JSON.stringify(limits)};
    ${parts.map(String).join('\n')}
    return await look();
  })()`;
  const found = await page.evaluate<readonly Objection[]>(script);
  return [...new Set(found.map(([rule, what]) => `${rule}: ${what}`))];
}

const parts = [
  look,
  isShown,
  nameOf,
  textOf,
  boxesOf,
  linesOf,
  frameOf,
  scrollersOf,
  sideways,
  beyond,
  cutOff,
  squeezed,
  brokenWord,
  smallPrint,
  fields,
  labelOf,
  targets,
  underBars,
  headings,
];

async function look(): Promise<Objection[]> {
  await document.fonts.ready;
  await new Promise((resolve) => requestAnimationFrame(() => requestAnimationFrame(resolve)));
  const moved = scrollersOf().map((it) => [it, it.scrollLeft, it.scrollTop] as const);
  for (const [it] of moved) it.scrollTo({ left: 0, top: 0, behavior: 'instant' });
  const shown = [...document.body.querySelectorAll('*')].filter((it) => isShown(it));
  const texts = shown.filter((it) => !it.closest('svg') && textOf(it).length > 0);
  const found = [
    ...sideways(),
    ...beyond(shown),
    ...cutOff(texts),
    ...squeezed(texts),
    ...smallPrint(texts),
    ...fields(shown),
    ...targets(shown),
    ...underBars(shown, texts),
    ...headings(shown),
  ];
  for (const [it, left, top] of moved) it.scrollTo({ left, top, behavior: 'instant' });
  return found;
}

/** There for an eye to see: not hidden, not for screen readers alone. */
function isShown(it: Element): boolean {
  const all = { contentVisibilityAuto: true, opacityProperty: true, visibilityProperty: true };
  if (!it.checkVisibility(all) || it.closest('[aria-hidden=true], [inert]')) return false;
  const { width, height } = it.getBoundingClientRect();
  if (width <= 1 || height <= 1) return false;
  for (let at: Element | null = it; at; at = at.parentElement) {
    if (at.clientWidth <= 1 && at.clientHeight <= 1 && getComputedStyle(at).position === 'absolute') return false;
  }
  return true;
}

function nameOf(it: Element): string {
  const said =
    it.getAttribute('aria-label') ??
    ('value' in it && typeof it.value === 'string' && it.value !== '' ? it.value : it.textContent);
  const kind = typeof it.className === 'string' ? it.className.trim().replace(/\s+/g, '.') : '';
  const text = (said ?? '').trim().replace(/\s+/g, ' ').slice(0, 40);
  return `${it.tagName.toLowerCase()}${kind === '' ? '' : `.${kind}`} “${text}”`;
}

/** The pieces of text that stand in it directly. */
function textOf(it: Element): Text[] {
  const out: Text[] = [];
  for (const node of it.childNodes) if (node instanceof Text && node.data.trim() !== '') out.push(node);
  return out;
}

/** Where the letters are; an element is often larger than they are. */
function boxesOf(it: Element): DOMRect[] {
  return textOf(it).flatMap((node) => {
    const range = document.createRange();
    range.selectNodeContents(node);
    return [...range.getClientRects()].filter(({ width, height }) => width > 1 && height > 1);
  });
}

/** How many lines its own text takes. */
function linesOf(it: Element): number {
  const tops: number[] = [];
  for (const { top, height } of boxesOf(it)) {
    if (!tops.some((other) => Math.abs(other - top) < height / 2)) tops.push(top);
  }
  return tops.length;
}

/** The nearest frame around it that may be scrolled sideways: what does not fit there can be reached. */
function frameOf(it: Element): Element | null {
  for (let at = it.parentElement; at && at !== document.body; at = at.parentElement) {
    const { overflowX } = getComputedStyle(at);
    if ((overflowX === 'auto' || overflowX === 'scroll') && at.localName !== 'main' && !at.querySelector('main'))
      return at;
  }
  return null;
}

/** The window and all else that is scrolled. */
function scrollersOf(): Element[] {
  const root = document.scrollingElement ?? document.documentElement;
  const inner = [...document.body.querySelectorAll('*')].filter((it) => {
    if (it.scrollWidth <= it.clientWidth && it.scrollHeight <= it.clientHeight) return false;
    const { overflowX, overflowY } = getComputedStyle(it);
    return [overflowX, overflowY].some((way) => way === 'auto' || way === 'scroll');
  });
  return [root, ...inner.filter((it) => it !== root)];
}

/** What is read goes one way: only a frame of its own may be wider than it shows. */
function sideways(): Objection[] {
  const root = document.documentElement;
  const inner = scrollersOf().filter((it) => it.localName === 'main' || it.querySelector('main') !== null);
  return [...new Set([root, ...inner])]
    .filter((it) => it.scrollWidth > it.clientWidth + limits.slack)
    .map((it) => ['scrolls sideways', `${it.tagName.toLowerCase()} is ${it.scrollWidth} px wide in ${it.clientWidth}`]);
}

function beyond(shown: Element[]): Objection[] {
  const width = document.documentElement.clientWidth;
  const outside = ({ left, right }: DOMRect) => left < -limits.slack || right > width + limits.slack;
  const out: Objection[] = [];
  for (const it of shown) {
    if (it.closest('svg svg, svg *')) continue;
    const boxes = [it.getBoundingClientRect(), ...boxesOf(it)];
    const far = boxes.find(outside);
    if (!far || frameOf(it)) continue;
    out.push([
      'out of the page',
      `${nameOf(it)} from ${Math.round(far.left)} to ${Math.round(far.right)} px of ${width}`,
    ]);
  }
  return out;
}

/** Letters past the edge of something that hides what does not fit. */
function cutOff(texts: Element[]): Objection[] {
  const out: Objection[] = [];
  const hides = (way: string) => way === 'hidden' || way === 'clip';
  const reached = (way: string) => way === 'auto' || way === 'scroll';
  for (const it of texts) {
    if (it instanceof HTMLTextAreaElement || it instanceof HTMLSelectElement || it instanceof HTMLOptionElement)
      continue;
    const boxes = boxesOf(it);
    let [across, down] = [true, true];
    for (let at: Element | null = it; at && at !== document.body && (across || down); at = at.parentElement) {
      const { overflowX, overflowY, display } = getComputedStyle(at);
      if (display === 'inline' || display === 'contents') continue;
      const edge = at.getBoundingClientRect();
      if (reached(overflowX)) across = false;
      if (reached(overflowY)) down = false;
      const cut = boxes.some(
        (box) =>
          (across && hides(overflowX) && (box.right > edge.right + 2 || box.left < edge.left - 2)) ||
          (down &&
            hides(overflowY) &&
            (box.bottom > edge.bottom + box.height / 3 || box.top < edge.top - box.height / 3)),
      );
      if (!cut) continue;
      out.push(['text cut off', `${nameOf(it)} by ${at === it ? 'its own edge' : nameOf(at)}`]);
      break;
    }
  }
  return out;
}

/** A column of a few letters a line while the window has room: the mark of a style that was meant for something else. */
function squeezed(texts: Element[]): Objection[] {
  const width = document.documentElement.clientWidth;
  const out: Objection[] = [];
  for (const it of texts) {
    let column = it; // a word in the middle of a line is in the column of that line
    while (getComputedStyle(column).display === 'inline' && column.parentElement) column = column.parentElement;
    const box = column.getBoundingClientRect();
    const lines = linesOf(it);
    if (lines < 2 || frameOf(it)) continue;
    const word = box.width < width * limits.wordShare ? brokenWord(it) : '';
    if (word !== '') {
      out.push(['squeezed text', `${nameOf(it)}: “${word}” is broken in ${Math.round(box.width)} px of ${width}`]);
      continue;
    }
    if (lines < limits.squeezedLines || box.width >= limits.squeezedWidth || width - box.width <= limits.squeezedRoom)
      continue;
    if (it.closest('table, dl, nav')) continue; // columns that belong together are as wide as their neighbours leave them
    const main = (it.closest('main') ?? document.body).getBoundingClientRect();
    const beside = [...document.body.querySelectorAll('*')].some((other) => {
      if (other.contains(column) || column.contains(other) || !isShown(other)) return false;
      const { left, top, bottom } = other.getBoundingClientRect();
      return left >= box.right - limits.slack && top < box.bottom && bottom > box.top;
    });
    if (!beside && main.width > box.width * 2)
      out.push(['squeezed text', `${nameOf(it)}: ${lines} lines in ${Math.round(box.width)} px, nothing beside it`]);
  }
  return out;
}

/** The first ordinary word whose letters stand on two lines without a hyphen; '' when there is none. */
function brokenWord(it: Element): string {
  for (const node of textOf(it)) {
    for (const { 0: word, index } of node.data.matchAll(/[\p{L}\p{N}.,]+/gu)) {
      if (word.length < 2 || word.length > limits.wordLetters) continue;
      const range = document.createRange();
      range.setStart(node, index);
      range.setEnd(node, index + word.length);
      const boxes = [...range.getClientRects()].filter((box) => box.width > 1);
      const [first, last] = [boxes[0], boxes.at(-1)];
      if (first && last && last.top > first.top + first.height / 2) return word;
    }
  }
  return '';
}

function smallPrint(texts: Element[]): Objection[] {
  return texts
    .filter((it) => parseFloat(getComputedStyle(it).fontSize) < limits.type)
    .map((it) => ['small print', `${nameOf(it)} is ${getComputedStyle(it).fontSize}`]);
}

function fields(shown: Element[]): Objection[] {
  const untyped = ['checkbox', 'radio', 'range', 'file', 'submit', 'button', 'reset', 'color', 'image'];
  const few = ['number', 'time', 'date', 'datetime-local', 'month', 'week'];
  const pen = document.createElement('canvas').getContext('2d');
  const out: Objection[] = [];
  for (const it of shown) {
    const select = it instanceof HTMLSelectElement;
    if (!select && !(it instanceof HTMLInputElement) && !(it instanceof HTMLTextAreaElement)) continue;
    if (untyped.includes(it.type)) continue;
    const style = getComputedStyle(it);
    const room = it.clientWidth - parseFloat(style.paddingLeft) - parseFloat(style.paddingRight);
    const short = select || few.includes(it.type) || it.inputMode === 'numeric' || it.inputMode === 'decimal';
    if (room < (short ? limits.fieldFew : limits.field))
      out.push(['field too narrow', `${nameOf(it)} has ${Math.round(room)} px`]);
    if (parseFloat(style.fontSize) < limits.fieldType)
      out.push(['field zooms on a phone', `${nameOf(it)} is ${style.fontSize}`]);
    if (!pen || it instanceof HTMLTextAreaElement || (few.includes(it.type) && it.type !== 'number')) continue; // times are shown otherwise
    const text = select ? (it.selectedOptions[0]?.text.trim() ?? '') : it.value || it.placeholder;
    // The short form is empty where figures are set in a way it has no word for.
    pen.font = `${style.fontStyle} ${style.fontWeight} ${style.fontSize} ${style.fontFamily}`;
    const needs = pen.measureText(text).width;
    const column = (it.closest('section, fieldset, form, main') ?? document.documentElement).clientWidth;
    if (text.length < limits.fieldLetters && needs > room - (select ? 4 : 0) && needs < column - limits.fieldEdges)
      out.push(['field hides its text', `${nameOf(it)}: “${text}” in ${Math.round(room)} px`]);
  }
  return out;
}

function labelOf(it: Element): Element | null {
  return it.closest('label') ?? (it.id === '' ? null : document.querySelector(`label[for="${CSS.escape(it.id)}"]`));
}

/** What is touched is large enough, and nothing else lies where it is. */
function targets(shown: Element[]): Objection[] {
  const touched =
    'a[href], button, input, select, textarea, summary, ' +
    ['button', 'link', 'tab', 'radio', 'checkbox', 'switch', 'option', 'spinbutton', 'slider']
      .map((role) => `[role=${role}]`)
      .join(', ');
  const out: Objection[] = [];
  for (const it of shown) {
    if (!it.matches(touched)) continue;
    const label = labelOf(it);
    const boxes = [it, ...(label?.contains(it) ? [label] : [])].map((one) => one.getBoundingClientRect());
    const width = Math.max(...boxes.map((box) => box.width));
    const height = Math.max(...boxes.map((box) => box.height));
    if (Math.min(width, height) < limits.target)
      out.push(['small target', `${nameOf(it)} is ${Math.round(width)} by ${Math.round(height)} px`]);
    if (it.matches(':disabled')) continue;
    it.scrollIntoView({ block: 'center', inline: 'center', behavior: 'instant' });
    // A target in lines of text is in pieces; the middle of its box may be beside all of them.
    const box = it.getClientRects()[0] ?? it.getBoundingClientRect();
    const [x, y] = [box.left + box.width / 2, box.top + box.height / 2];
    const at = document.elementFromPoint(x, y);
    if (at && at !== it && !it.contains(at) && !at.contains(it) && !label?.contains(at))
      out.push(['covered', `${nameOf(it)} by ${nameOf(at)}`]);
  }
  for (const it of scrollersOf()) it.scrollTo({ left: 0, top: 0, behavior: 'instant' });
  return out;
}

/**
 * Text and figures under something that stays where it is while they are scrolled. A bar from edge to edge ends what is
 * read, so it is enough that all can be scrolled out from under it. One that floats hides a part of a line or of a picture
 * whose rest is still to be seen, so at the start and at the end nothing may lie under it.
 */
function underBars(shown: Element[], texts: Element[]): Objection[] {
  const root = document.scrollingElement ?? document.documentElement;
  const bars = shown.filter((it) => ['fixed', 'sticky'].includes(getComputedStyle(it).position));
  if (bars.length === 0) return [];
  const pictures = shown.filter(
    (it) => it.matches('svg, img, canvas, input, select, textarea') && !it.closest('svg svg'),
  );
  const pieces = [...texts, ...pictures].filter((it) => !bars.some((bar) => bar.contains(it)));
  const onTop = (bar: Element, x: number, y: number) => {
    const at = document.elementFromPoint(x, y);
    return at !== null && bar.contains(at);
  };
  const barOver = (it: Element): Element | undefined => {
    const boxes = it.matches('svg, img, canvas, input, select, textarea') ? [it.getBoundingClientRect()] : boxesOf(it);
    return bars.find((bar) => {
      const edge = bar.getBoundingClientRect();
      return boxes.some((box) => {
        const [left, right] = [Math.max(box.left, edge.left, 0), Math.min(box.right, edge.right, innerWidth)];
        const [top, bottom] = [Math.max(box.top, edge.top, 0), Math.min(box.bottom, edge.bottom, innerHeight)];
        return right - left > 2 && bottom - top > 2 && onTop(bar, (left + right) / 2, (top + bottom) / 2);
      });
    });
  };
  const scrollerOf = (bar: Element): Element => {
    for (let at = bar.parentElement; at && at !== document.body; at = at.parentElement) {
      const { overflowX, overflowY } = getComputedStyle(at);
      if ([overflowX, overflowY].some((way) => way === 'auto' || way === 'scroll')) return at;
    }
    return root;
  };
  const floats = (bar: Element) => {
    const [edge, frame] = [bar.getBoundingClientRect(), scrollerOf(bar)];
    return edge.width < frame.clientWidth * limits.barShare && edge.height < frame.clientHeight * limits.barShare;
  };
  const said = (it: Element, bar: Element): Objection => ['under a bar', `${nameOf(it)} under ${nameOf(bar)}`];
  const out: Objection[] = [];
  const put = (end: boolean) => {
    for (const it of scrollersOf()) it.scrollTo({ left: 0, top: end ? it.scrollHeight : 0, behavior: 'instant' });
  };
  const under = new Set<Element>();
  for (const end of [false, true]) {
    put(end);
    for (const it of pieces) {
      const bar = barOver(it);
      if (!bar) continue;
      if (floats(bar)) out.push(said(it, bar));
      else under.add(it);
    }
  }
  for (const it of under) {
    it.scrollIntoView({ block: 'center', behavior: 'instant' });
    const bar = barOver(it);
    if (bar) out.push(said(it, bar));
  }
  put(false);
  return out;
}

function headings(shown: Element[]): Objection[] {
  const first = shown.filter((it) => it.matches('h1, [role=heading][aria-level="1"]')).length;
  const out: Objection[] = [];
  if (first !== 1) out.push(['first heading', `there are ${first}`]);
  if (document.title.trim() === '') out.push(['title', 'there is none']);
  return out;
}
