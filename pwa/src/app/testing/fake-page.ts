/** The little of a page that the router, the admission and the updates touch: address, history, events. */
import { vi } from 'vitest';

type Handler = (event: never) => void;

class Target {
  readonly handlers = new Map<string, Handler[]>();
  addEventListener = (name: string, handler: Handler): void => {
    this.handlers.set(name, [...(this.handlers.get(name) ?? []), handler]);
  };
  fire(name: string, event: object = {}): void {
    for (const handler of this.handlers.get(name) ?? []) handler(event as never);
  }
}

export class FakePage extends Target {
  readonly document = Object.assign(new Target(), { visibilityState: 'visible', querySelector: () => this.main });
  /** What is read; it is scrolled at once, and no frame is ever drawn. */
  readonly main = { scrollTop: 0, parentElement: null };
  readonly steps: { state: unknown; url: URL }[];
  at = 0;
  reloads = 0;

  constructor(href: string) {
    super();
    this.steps = [{ state: null, url: new URL(href) }];
    const now = () => this.steps[this.at] ?? { state: null, url: new URL(href) };
    const to = (url: string) => new URL(url, now().url);
    const page = this;
    vi.stubGlobal('location', {
      get pathname() {
        return now().url.pathname;
      },
      get search() {
        return now().url.search;
      },
      get hash() {
        return now().url.hash;
      },
      get origin() {
        return now().url.origin;
      },
      reload: () => void this.reloads++,
    });
    vi.stubGlobal('history', {
      get state() {
        return now().state;
      },
      get length() {
        return page.steps.length;
      },
      pushState: (state: unknown, _title: string, url: string) => {
        this.steps.splice(this.at + 1, Infinity, { state, url: to(url) });
        this.at++;
      },
      replaceState: (state: unknown, _title: string, url: string) => {
        this.steps[this.at] = { state, url: to(url) };
      },
      back: () => {
        this.at = Math.max(0, this.at - 1);
        this.fire('popstate');
      },
    });
    vi.stubGlobal('document', this.document);
    vi.stubGlobal('addEventListener', this.addEventListener);
    vi.stubGlobal('requestAnimationFrame', (draw: () => void) => draw());
    vi.stubGlobal('Element', FakeElement);
  }

  get address(): string {
    const { pathname, search, hash } = (this.steps[this.at] ?? { url: new URL('x:') }).url;
    return pathname + search + hash;
  }

  /** A click on a link, as the browser reports it. */
  click(href: string, more: { button?: number; ctrlKey?: boolean; target?: string; download?: boolean } = {}): boolean {
    const url = new URL(href, 'https://fair.example');
    const link = {
      ...pick(url),
      target: more.target ?? '',
      hasAttribute: (name: string) => name === 'download' && more.download === true,
    };
    let prevented = false;
    this.document.fire('click', {
      button: more.button ?? 0,
      ctrlKey: more.ctrlKey ?? false,
      metaKey: false,
      shiftKey: false,
      altKey: false,
      defaultPrevented: false,
      target: new FakeElement(link),
      preventDefault: () => {
        prevented = true;
      },
    });
    return prevented;
  }
}

class FakeElement {
  readonly link: unknown;
  constructor(link: unknown) {
    this.link = link;
  }
  closest(): unknown {
    return this.link;
  }
}

const pick = ({ pathname, search, origin }: URL) => ({ pathname, search, origin });
