/**
 * Wall time and instants: the offsets of a zone come from the browser, because the core knows no zones. A wall time that a
 * clock shows twice, or never, is said to be so.
 */
export interface Instant {
  at_ms: number;
  /** Minutes the clock there is ahead of UTC. */
  offset_min: number;
}

export type Read =
  | { is: 'one'; at: Instant }
  /** The clocks went back: the earlier and the later. */
  | { is: 'two'; earlier: Instant; later: Instant }
  /** The clocks went forward over it. */
  | { is: 'none' }
  | { is: 'unreadable' };

const formats = new Map<string, Intl.DateTimeFormat | null>();

function formatOf(zone: string): Intl.DateTimeFormat | null {
  let format = formats.get(zone);
  if (format === undefined) {
    try {
      format = new Intl.DateTimeFormat(undefined, {
        calendar: 'gregory',
        numberingSystem: 'latn',
        timeZone: zone,
        hourCycle: 'h23',
        year: 'numeric',
        month: 'numeric',
        day: 'numeric',
        hour: 'numeric',
        minute: 'numeric',
        second: 'numeric',
      });
    } catch {
      format = null; // no zone of this name here
    }
    formats.set(zone, format);
  }
  return format;
}

export const knownZone = (zone: string): boolean => formatOf(zone) !== null;

/** Minutes the clock of a zone is ahead of UTC at an instant; null when there is no such zone. */
export function offsetAt(ms: number, zone: string): number | null {
  const format = formatOf(zone);
  if (format === null) return null;
  const part: Record<string, number> = {};
  for (const { type, value } of format.formatToParts(ms)) part[type] = Number(value);
  const wall = Date.UTC(
    part.year ?? 0,
    (part.month ?? 1) - 1,
    part.day ?? 1,
    part.hour ?? 0,
    part.minute ?? 0,
    part.second ?? 0,
  );
  return Math.round((wall - Math.floor(ms / 1000) * 1000) / 60_000);
}

/** The instant of a wall time, "2026-10-25T02:30", in a zone. */
export function read(wall: string, zone: string): Read {
  const parts = /^(\d{4})-(\d\d)-(\d\d)T(\d\d):(\d\d)$/.exec(wall);
  if (!parts || !knownZone(zone)) return { is: 'unreadable' };
  const [y, mo, d, h, mi] = parts.slice(1).map(Number) as [number, number, number, number, number];
  const asUtc = Date.UTC(y, mo - 1, d, h, mi);
  if (new Date(asUtc).toISOString().slice(0, 16) !== wall) return { is: 'unreadable' }; // 30 February
  const found: Instant[] = [];
  const day = 24 * 60 * 60_000;
  // Clocks differ from UTC by less than a day, so the offsets on either side are all that can hold.
  for (const offset of new Set([offsetAt(asUtc - day, zone), offsetAt(asUtc + day, zone)])) {
    if (offset === null) continue;
    const at = asUtc - offset * 60_000;
    if (offsetAt(at, zone) === offset) found.push({ at_ms: at, offset_min: offset });
  }
  found.sort((a, b) => a.at_ms - b.at_ms);
  const [first, second] = found;
  if (!first) return { is: 'none' };
  return second ? { is: 'two', earlier: first, later: second } : { is: 'one', at: first };
}

/** The wall time of an instant, as a date-and-time field wants it. */
export function wallOf({ at_ms, offset_min }: Instant): string {
  return new Date(at_ms + offset_min * 60_000).toISOString().slice(0, 16);
}

/**
 * Where the clock of a zone turns between two instants: from then on it shows the later offset, until then the earlier's.
 * null where both show the same.
 */
export function turnBetween(from: number, to: number, zone: string): Instant | null {
  const before = offsetAt(from, zone);
  const after = offsetAt(to, zone);
  if (before === null || after === null || before === after || to <= from) return null;
  let [low, high] = [from, to];
  while (high - low > 1) {
    const middle = Math.floor((low + high) / 2);
    if (offsetAt(middle, zone) === before) low = middle;
    else high = middle;
  }
  return { at_ms: high, offset_min: after };
}

/** The zone of this device. */
export const hereZone = (): string => new Intl.DateTimeFormat().resolvedOptions().timeZone;

/** Eleven in the evening of the drinking day before an instant's: at one at night last night is not the evening that runs. */
export function lastNight(now: number, zone: string, dayStartMin = 5 * 60): string {
  const offset = offsetAt(now, zone) ?? 0;
  const before = now - 24 * 60 * 60_000 - dayStartMin * 60_000;
  return `${wallOf({ at_ms: before, offset_min: offset }).slice(0, 10)}T23:00`;
}
