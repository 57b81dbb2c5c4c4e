import type { ComparisonAnswer, Finding } from '../../../shared/core.ts';
import { later } from '../../words.ts';
import { gridOf, type View } from './pairings.ts';
import { named, signed } from '../../parts/pairing.ts';
import { behind, between, nameOf, reach, stateOf, verdictOf } from './say.ts';

/** The light theme's colours, as in tokens.css: a picture is looked at and printed elsewhere. */
const ground = '#f4ede0';
const ink = '#2b231a';
const soft = '#5f5344';
const etch = '#7d6f5b';
const line = '#d6c9b4';
const serif = "'Iowan Old Style','Palatino Linotype',Palatino,'Noto Serif',Georgia,'DejaVu Serif',serif";
const sans = "-apple-system,'Segoe UI',Roboto,'Noto Sans','DejaVu Sans',sans-serif";

const edge = 32;
const nameWide = 200;
const cellWide = 152;
const rowHigh = 84;
/** As many as an eye takes in, and a phone's browser can draw. */
const mostDrawn = 240;

/** A drawing by itself, and its size in pixels. */
interface Picture {
  svg: string;
  width: number;
  height: number;
}

const escapes: Record<string, string> = { '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;' };
/** Text as it may stand in XML, which knows no control characters. */
const safe = (text: string): string =>
  text.replace(/[\u0000-\u001f\ufffe\uffff]/g, ' ').replace(/[&<>"]/g, (it) => escapes[it] ?? '');

function text(x: number, y: number, what: string, more = ''): string {
  return `<text x="${x}" y="${y}" ${more}>${safe(what)}</text>`;
}

/** Breaks a text at spaces into lines of about so many characters; a word longer than that is cut. The last of `most` ends in dots. */
export function wrapped(what: string, wide: number, most: number): string[] {
  const lines: string[] = [];
  let now = '';
  const words = what.split(/\s+/).flatMap((word) => {
    const parts: string[] = [];
    for (let rest = [...word]; rest.length > 0; rest = rest.slice(wide)) parts.push(rest.slice(0, wide).join(''));
    return parts;
  });
  for (const word of words) {
    if (now !== '' && now.length + 1 + word.length > wide) {
      lines.push(now);
      now = word;
    } else now = now === '' ? word : `${now} ${word}`;
  }
  lines.push(now);
  if (lines.length <= most) return lines;
  const last = lines[most - 1] ?? '';
  return [...lines.slice(0, most - 1), `${last.slice(0, wide - 1)}…`];
}

/** A scale with the benchmark in its middle, what is likely, and a mark whose shape says what stands behind it. */
function scale(x: number, y: number, wide: number, it: Finding, end: number): string {
  const at = (d: number) => Math.round((x + wide / 2 + (d / end) * (wide / 2)) * 10) / 10;
  const axis = `<path d="M${x} ${y}h${wide}M${x + wide / 2} ${y - 8}v8" stroke="${etch}" fill="none"/>`;
  const state = stateOf(it);
  if (state === 'untasted' || it.d === null) return axis;
  const whisker =
    it.benchmark || it.lo === null || it.hi === null
      ? ''
      : `<path d="M${at(it.lo)} ${y - 6}H${at(it.hi)}" stroke="${ink}" stroke-width="1.5" fill="none"/>`;
  const dot = it.benchmark
    ? `<path d="M${at(0)} ${y - 11}v11" stroke="${ink}" stroke-width="2.5"/>`
    : state === 'tasted'
      ? `<circle cx="${at(it.d)}" cy="${y - 6}" r="4" fill="${ink}"/>`
      : `<circle cx="${at(it.d)}" cy="${y - 6}" r="3.5" fill="${ground}" stroke="${ink}" stroke-width="1.5"/>`;
  return axis + whisker + dot;
}

const figure = (it: Finding): string =>
  it.benchmark ? later.compared.verdict.benchmark : it.d === null ? '–' : signed(it.d);
const likely = (it: Finding): string => (it.benchmark || it.lo === null || it.hi === null ? '' : between(it.lo, it.hi));

function frame(
  title: string,
  says: readonly string[],
  inner: (top: number) => { body: string; bottom: number },
  wide: number,
  day: string,
): Picture {
  const width = Math.max(640, wide + 2 * edge);
  const perLine = Math.floor((width - 2 * edge) / 7.4);
  const heads = wrapped(title, Math.floor((width - 2 * edge) / 14), 2);
  let y = edge + 24;
  let head = '';
  for (const it of heads) {
    head += text(edge, y, it, `font-family="${serif}" font-size="26"`);
    y += 34;
  }
  for (const it of says.flatMap((one) => wrapped(one, perLine, 4))) {
    head += text(edge, y, it);
    y += 22;
  }
  const { body, bottom } = inner(y + 4);
  const foot = [later.compared.pictureKey, later.compared.pictureFoot(day)];
  const height = bottom + 24 + foot.length * 20 + edge - 12;
  const feet = foot.map((it, i) => text(edge, bottom + 28 + i * 20, it, `font-size="13" fill="${soft}"`)).join('');
  return {
    svg:
      `<svg xmlns="http://www.w3.org/2000/svg" width="${width}" height="${height}" viewBox="0 0 ${width} ${height}">` +
      `<rect width="${width}" height="${height}" fill="${ground}"/>` +
      `<g font-family="${sans}" font-size="15" fill="${ink}">${head}${body}${feet}</g></svg>`,
    width,
    height,
  };
}

const rule = (y: number, wide: number) => `<path d="M${edge} ${y}h${wide}" stroke="${line}" fill="none"/>`;

/** The pairings of two swaps as on the screen, or with one swap the ranking, on a light ground; null when it would be too large. */
export function pictureOf(answer: ComparisonAnswer, view: View, says: readonly string[], day: string): Picture | null {
  const title = answer.name || answer.drink_name;
  const grid = gridOf(answer, view);
  const end = reach(answer.findings.flatMap(({ d, lo, hi }) => [d ?? 0, lo ?? 0, hi ?? 0]));
  if (!grid) {
    if (answer.findings.length > mostDrawn) return null;
    const wide = 620;
    const small = `font-size="13" fill="${soft}"`;
    return frame(
      title,
      says,
      (top) => {
        let body = '';
        let y = top;
        for (const it of answer.findings) {
          const lines = wrapped(named(it.names), 50, 3);
          const under = y + 30 + lines.length * 18;
          const told = new Set([verdictOf(it), behind(it)].filter(Boolean));
          body +=
            rule(y, wide) +
            lines.map((line, i) => text(edge, y + 26 + i * 18, line)).join('') +
            text(edge, under, [...told].join(' · '), small) +
            scale(edge + 390, y + 34, 120, it, end) +
            text(
              edge + wide,
              y + 28,
              figure(it),
              it.benchmark ? 'text-anchor="end"' : 'font-size="20" text-anchor="end"',
            ) +
            text(edge + wide, y + 48, likely(it), `${small} text-anchor="end"`);
          y = under + 16;
        }
        return { body, bottom: y };
      },
      wide,
      day,
    );
  }
  if (grid.rows.length * grid.columns.length > mostDrawn) return null;
  const wide = nameWide + grid.columns.length * cellWide;
  const heads = grid.columns.map((it) => wrapped(nameOf(it), 18, 3));
  const tall = Math.max(...heads.map((it) => it.length));
  const small = `font-size="13" fill="${soft}"`;
  const instead = (swap: { addition: boolean; line_name: string }) =>
    swap.addition ? later.compared.added : later.compared.instead(swap.line_name);
  const fixed = answer.swaps.flatMap((swap, i) => {
    if (swap === grid.down || swap === grid.across) return [];
    const of = swap.effects.find((it) =>
      view.fixed[i]?.endsWith(` ${swap.addition ? (it.benchmark ? swap.id : it.candidate) : it.ingredient}`),
    );
    return of ? [`${instead(swap)}: ${nameOf(of)}`] : [];
  });
  return frame(
    title,
    [...says, ...fixed],
    (top) => {
      const x = (k: number) => edge + nameWide + k * cellWide;
      const first = top + 24 + tall * 18 + 12;
      let body =
        wrapped(instead(grid.down), 26, 3)
          .map((it, i) => text(edge, top + 24 + i * 18, it, small))
          .join('') +
        text(
          x(0),
          top + 4,
          wrapped(instead(grid.across), Math.floor((grid.columns.length * cellWide) / 7), 1)[0] ?? '',
          small,
        );
      heads.forEach((lines, k) => {
        body += lines.map((it, i) => text(x(k), top + 26 + i * 18, it)).join('');
      });
      grid.rows.forEach((row, r) => {
        const y = first + r * rowHigh;
        body += rule(y, wide);
        body += wrapped(nameOf(row.of), 24, 3)
          .map((it, i) => text(edge, y + 26 + i * 18, it))
          .join('');
        row.cells.forEach((it, k) => {
          if (!it) {
            body += text(x(k), y + 28, later.compared.state.untasted, small);
            return;
          }
          body +=
            text(x(k), y + 28, figure(it), it.benchmark ? '' : 'font-size="20"') +
            (it.benchmark ? scale(x(k), y + 46, 84, it, end) : scale(x(k) + 52, y + 26, 84, it, end)) +
            text(x(k), y + 48, likely(it), small) +
            text(x(k), y + (likely(it) === '' && !it.benchmark ? 48 : 67), behind(it), small);
        });
      });
      return { body, bottom: first + grid.rows.length * rowHigh };
    },
    wide,
    day,
  );
}

/** Two device pixels for one, less where a phone's browser would not draw so much. */
export const sharpness = ({ width, height }: Pick<Picture, 'width' | 'height'>): number =>
  Math.min(2, Math.sqrt(14_000_000 / (width * height)));

/** Drawn by the browser into a PNG; nothing is fetched. Rejects when it would not. */
export async function pngOf(picture: Picture): Promise<Blob> {
  const at = URL.createObjectURL(new Blob([picture.svg], { type: 'image/svg+xml' }));
  try {
    const image = new Image();
    image.src = at;
    await image.decode();
    const by = sharpness(picture);
    const canvas = document.createElement('canvas');
    canvas.width = Math.round(picture.width * by);
    canvas.height = Math.round(picture.height * by);
    const pen = canvas.getContext('2d');
    if (!pen) throw new Error('side: no canvas');
    pen.drawImage(image, 0, 0, canvas.width, canvas.height);
    const blob = await new Promise<Blob | null>((done) => canvas.toBlob(done, 'image/png'));
    if (!blob) throw new Error('side: no picture');
    return blob;
  } finally {
    URL.revokeObjectURL(at);
  }
}

/** fair-measure-which-gin-2026-11-25.csv: letters and figures only, so that any disk takes it. */
export function fileName(name: string, day: string, ending: 'csv' | 'png'): string {
  const plain = name
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, '-')
    .replace(/^-|-$/g, '')
    .slice(0, 60);
  return ['fair-measure', plain, `${day}.${ending}`].filter(Boolean).join('-');
}
