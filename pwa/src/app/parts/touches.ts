/**
 * A wet finger touches twice. For a while after a touch that counted, the same control takes no second one, and neither
 * does whatever came to stand under the finger meanwhile. No clock in here: each touch brings its time.
 */

/** How long a control takes no second touch, from the last one that counted. */
export const holdMs = 1_500;
/** A touch so near the last one that counted is a part of it. */
const nearPx = 32;

/** A touch, a click or a key, in milliseconds of the page. */
export interface Touch {
  readonly at: number;
  /** Where; a key has no place. */
  readonly x?: number;
  readonly y?: number;
}

interface Hold {
  readonly touch: Touch;
  /** What it did is still on its way to the disk: no touch counts before it is there. */
  readonly pending: boolean;
}

export class Touches {
  readonly #holds = new Map<string, Hold>();
  #last: Touch | null = null;

  /** Whether this touch of this control counts. If so it is held from now on: say `done` or `failed` when it is known. */
  take(control: string, touch: Touch): boolean {
    const hold = this.#holds.get(control);
    if (hold && (hold.pending || within(hold.touch, touch))) return false;
    if (this.#last && within(this.#last, touch) && near(this.#last, touch)) return false;
    this.#holds.set(control, { touch, pending: true });
    return true;
  }

  /** What the touch did is on the disk. */
  done(control: string): void {
    const hold = this.#holds.get(control);
    if (!hold) return;
    this.#holds.set(control, { ...hold, pending: false });
    this.counted(hold.touch);
  }

  /** It did nothing, so the next touch is the first. */
  failed(control: string): void {
    this.#holds.delete(control);
  }

  /** A touch of anything else that saved something, or that brought a question up where the finger is. */
  counted(touch: Touch): void {
    if (!this.#last || touch.at >= this.#last.at) this.#last = touch;
  }

  /** What they did is being taken back: every control is free again but the one that does so. */
  release(): void {
    for (const [control, { pending }] of this.#holds) if (!pending) this.#holds.delete(control);
  }
}

const within = (first: Touch, second: Touch): boolean => second.at - first.at < holdMs;

function near(one: Touch, other: Touch): boolean {
  if (one.x === undefined || one.y === undefined || other.x === undefined || other.y === undefined) return false;
  return Math.hypot(one.x - other.x, one.y - other.y) <= nearPx;
}
