import { effect, untracked } from '@preact/signals';
import { Component, type ComponentChildren, render } from 'preact';
import { useEffect, useState } from 'preact/hooks';
import type { Left } from '../shared/messages.ts';
import { Adults, adult } from './adults.tsx';
import { admission, openLink, placeOf, resume } from './admission.ts';
import { start } from './core-client.ts';
import { Frame, here } from './frame.tsx';
import { Pair } from './pair.tsx';
import { watchReused } from './reused.ts';
import { listen, path, type Params } from './router.ts';
import { fetchRoom, fetchRooms, type Room, roomOf, type Route, routeOf } from './routes.ts';
import { followKeys } from './scroll.ts';
import { erased, ready } from './state.ts';
import { follow } from './theme.ts';
import { watch } from './update.ts';
import { chosen, format, speak, words } from './words.ts';

/** The page for the current path; a heavy room shows its frame until it has arrived. */
function Page() {
  if (!adult.value) return <Adults />;
  if (erased.value !== null) return <Erased left={erased.value} />;
  if (admission.value.at !== 'rest') return <Pair />;
  const found = routeOf(path.value);
  if (!found)
    return (
      <Frame title={words.noPage.title}>
        <p>{words.noPage.text}</p>
      </Frame>
    );
  const { route, params } = found;
  const Room = roomOf(route);
  return Room ? <Room params={params} /> : <Later key={route.pattern} route={route} params={params} />;
}

/** Nothing is left on this device, so there is nothing to show but that. */
function Erased({ left }: { left: Left }) {
  return (
    <Frame title={words.leaving.erased}>
      <p role="status">{words.leaving.erasedText}</p>
      {left === 'untold' && <p>{words.leaving.erasedUntold}</p>}
      <p>
        <a class="btn" href="/" target="_self">
          {words.leaving.again}
        </a>
      </p>
    </Frame>
  );
}

function Later({ route, params }: { route: Route; params: Params }) {
  const [page, setPage] = useState<{ Room: Room } | 'failed' | null>(null);
  useEffect(() => {
    fetchRoom(route).then(
      (Room) => setPage({ Room }),
      () => setPage('failed'),
    );
  }, []);
  if (page === 'failed')
    return (
      <Frame title={words.oops.title}>
        <p>{words.oops.notLoaded}</p>
      </Frame>
    );
  if (!page)
    return (
      <Frame title="">
        <p class="unseen">{words.loading}</p>
      </Frame>
    );
  return <page.Room params={params} />;
}

/** A fault in one room leaves the others: the page says so and the rooms stay reachable. */
class Guard extends Component<{ children: ComponentChildren }, { broken: boolean; at: string }> {
  override state = { broken: false, at: '' };

  override componentDidCatch(error: unknown) {
    console.error(error);
    this.setState({ broken: true, at: path.peek() });
  }

  override render() {
    if (this.state.broken && this.state.at === path.value) {
      return (
        <Frame title={words.oops.title}>
          <p>{words.oops.text}</p>
          <p>
            <button type="button" class="btn" onClick={() => location.reload()}>
              {words.oops.reload}
            </button>
          </p>
        </Frame>
      );
    }
    return this.props.children;
  }
}

/** After a change of page the keyboard and the screen reader begin at its heading. */
function tellPages(): void {
  let at = path.peek();
  effect(() => {
    if (path.value === at) return;
    at = path.value;
    if (admission.peek().at !== 'asking') admission.value = { at: 'rest' }; // put away
    requestAnimationFrame(() => document.querySelector('h1')?.focus({ preventScroll: true }));
  });
}

function begin(root: Element): void {
  document.documentElement.lang = format.language;
  follow();
  listen();
  followKeys();
  addEventListener('hashchange', () => adult.peek() && openLink(placeOf())); // a link pasted over this page
  // Until somebody has said to be of age a link waits in the address, and nothing is kept on this device.
  effect(() => {
    if (!adult.value) return;
    untracked(() => {
      openLink(placeOf());
      start();
      if (admission.peek().at === 'rest') void resume();
    });
  });
  void watch();
  watchReused();
  effect(() => {
    here.value = routeOf(path.value)?.route.room ?? '';
  });
  tellPages();
  const stop = ready.subscribe((is) => {
    if (is) setTimeout(() => (stop(), void fetchRooms()));
  });
  render(
    <Guard>
      <Page />
    </Guard>,
    root,
  );
}

// Nothing is drawn before the words of the language are here; English has come with the start.
const root = document.getElementById('app');
if (root) void speak(chosen(navigator.languages ?? [])).then(() => begin(root));
