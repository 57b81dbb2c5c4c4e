import { useEffect, useState } from 'preact/hooks';
import { moment } from '../../format.ts';
import { Frame } from '../../frame.tsx';
import { Mark } from '../../state-mark.tsx';
import { sync } from '../../state.ts';
import { later } from '../../words.ts';
import { get } from '../../parts/answer.ts';
import { devicesIn } from '../../parts/device.ts';
import { type Event, eventsIn } from './event.ts';
import * as toneCss from '../../parts/tone.module.css';
import * as css from './style.module.css';
import * as stateMarkCss from '../../state-mark.module.css';

const step = 50;

/** What happened at the account's door, newest first. */
export function SignIns() {
  const [events, setEvents] = useState<Event[] | 'asking' | 'none'>('asking');
  /** Devices as they are called now: an event names the one that did it by its id alone. */
  const [names, setNames] = useState<ReadonlyMap<string, string>>(new Map());
  const [shown, setShown] = useState(step);
  const ask = async () => {
    setEvents('asking');
    const [told, devices] = await Promise.all([get('/api/v1/auth/audit'), get('/api/v1/auth/devices')]);
    const known = devicesIn(devices);
    setNames(new Map(known === 'none' ? [] : known.map(({ id, name }) => [id, name])));
    setEvents(eventsIn(told) ?? 'none');
  };
  useEffect(() => {
    void ask();
  }, [sync.value.online]);
  const list = Array.isArray(events) ? events : [];
  return (
    <Frame title={later.signIns.title} sub={later.signIns.sub} away="/keeper">
      <div class="narrow">
        {events === 'none' && (
          <>
            <p>{later.signIns.offline}</p>
            <div class="btns">
              <button type="button" class="btn" onClick={() => void ask()}>
                {later.signIns.ask}
              </button>
            </div>
          </>
        )}
        {Array.isArray(events) && list.length === 0 && <p class="quiet">{later.signIns.none}</p>}
        <ol class="rows" aria-label={later.signIns.list}>
          {list.slice(0, shown).map((event, i) => (
            <li key={`${event.atMs} ${i}`} class={css.event}>
              {minded.has(event.what) ? (
                <p class={`${stateMarkCss.state} ${toneCss.look}`}>
                  <Mark shape="triangle" />
                  <span>{said(event)}</span>
                </p>
              ) : (
                <p>{said(event)}</p>
              )}
              <p class="quiet">
                {[
                  moment(event.atMs),
                  event.by !== '' && later.signIns.by(names.get(event.by) ?? later.signIns.unnamed),
                  event.address !== '' && later.signIns.from(event.address),
                ]
                  .filter((it) => it !== false)
                  .join(' · ')}
              </p>
            </li>
          ))}
        </ol>
        {list.length > shown && (
          <div class="btns">
            <button type="button" class="btn" onClick={() => setShown(shown + step)}>
              {later.signIns.earlier}
            </button>
          </div>
        )}
      </div>
    </Frame>
  );
}

/** What someone other than the person may have done. */
const minded: ReadonlySet<string> = new Set(['sign_in_failed', 'reused']);

const said = ({ what, name }: Event): string =>
  name === '' ? later.signIns.plain(what) : later.signIns.told(what, name);
