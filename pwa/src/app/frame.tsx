import { signal } from '@preact/signals';
import type { ComponentChildren } from 'preact';
import { useEffect } from 'preact/hooks';
import { syncNow } from './core-client.ts';
import { SavedLine } from './parts/saved.tsx';
import { StateMark } from './state-mark.tsx';
import { putAway, reused } from './reused.ts';
import { back, path } from './router.ts';
import { hrefOf, rooms, type RoomName } from './rooms.ts';
import { journal, storage, sync, updateWaiting } from './state.ts';
import { takeUpdate } from './update.ts';
import { words } from './words.ts';
import * as frameCss from './frame.module.css';
import * as bannerCss from './parts/banner.module.css';

/** The room whose mark is long; main sets it from the route. */
export const here = signal<RoomName | ''>('tonight');

/** The one thing to do next, full width above the rooms. */
export type Act = { label: string; disabled?: boolean } & (
  { href: string } | { onClick: () => void } | { form: string }
);

interface FrameProps {
  title: string;
  /** The second line: the day, the count, whose value. */
  sub?: ComponentChildren;
  /** A page opened from a room: the header offers the way back instead of Keeper. */
  away?: string;
  act?: Act;
  /** Between header and content: what needs a look. */
  banner?: ComponentChildren;
  children: ComponentChildren;
}

/** What every page shares: header with the device's state, banners, content, main act and rooms. */
export function Frame({ title, sub, away, act, banner, children }: FrameProps) {
  useEffect(() => {
    document.title = title === '' || title === words.product ? words.product : words.titled(title);
  }, [title]);
  return (
    <div class={frameCss.app} data-room={here.value}>
      <SideBar />
      <div class={frameCss.page}>
        <header class={frameCss.head}>
          <h1 tabIndex={-1}>{title}</h1>
          <div class={frameCss.corner}>
            <StateMark state={sync.value} />
            {away === undefined ? (
              <a class={`link ${frameCss.toKeeper}`} href={hrefOf.keeper}>
                {words.rooms.keeper}
              </a>
            ) : (
              <button type="button" class="link" onClick={() => back(away)}>
                {words.putAway}
              </button>
            )}
          </div>
          {sub !== undefined && <p class="quiet">{sub}</p>}
        </header>
        <main tabIndex={0}>
          <div class={frameCss.notices}>
            <Banners />
            {banner}
          </div>
          {children}
        </main>
        <footer class={frameCss.foot}>
          <SavedLine />
          {act && <ActBar act={act} />}
          <nav class={frameCss.rooms} aria-label={words.roomsLabel}>
            {rooms.slice(0, 5).map((room) => (
              <RoomLink key={room} room={room} />
            ))}
          </nav>
        </footer>
      </div>
    </div>
  );
}

function ActBar({ act }: { act: Act }) {
  if ('href' in act)
    return (
      <a class={frameCss.act} data-testid="act" href={act.href}>
        {act.label}
      </a>
    );
  if ('form' in act)
    return (
      <button class={frameCss.act} data-testid="act" type="submit" form={act.form} disabled={act.disabled}>
        {act.label}
      </button>
    );
  return (
    <button class={frameCss.act} data-testid="act" type="button" onClick={act.onClick} disabled={act.disabled}>
      {act.label}
    </button>
  );
}

function RoomLink({ room }: { room: RoomName }) {
  return (
    <a href={hrefOf[room]} aria-current={here.value === room ? 'page' : undefined}>
      {words.rooms[room]}
    </a>
  );
}

function SideBar() {
  return (
    <nav class={frameCss.side} aria-label={words.roomsLabel}>
      <a class={frameCss.product} href="/">
        <MeasureMark />
        {words.product}
      </a>
      {rooms.map((room) => (
        <RoomLink key={room} room={room} />
      ))}
    </nav>
  );
}

function Banners() {
  const { unsent, unreadable, state, code, online } = sync.value;
  const unasked = journal.value?.forgotten?.find((it) => !it.decided);
  return (
    <>
      {storage.value !== 'ok' && (
        <div class={`${bannerCss.banner} ${bannerCss.mind}`} role="status">
          <p>{storage.value === 'none' ? words.noDisk : words.tooManyWindows}</p>
          {storage.value === 'outdated' && (
            <button type="button" class="link" onClick={() => location.reload()}>
              {words.oops.reload}
            </button>
          )}
        </div>
      )}
      {updateWaiting.value && (
        <div class={bannerCss.banner} role="status">
          <p>
            <b>{words.update.here}</b> {words.update.when}
          </p>
          <button type="button" class="link" onClick={takeUpdate}>
            {words.update.take}
          </button>
        </div>
      )}
      {reused.value.length > 0 && (
        <div class={`${bannerCss.banner} ${bannerCss.mind}`} role="status">
          <p>{words.account.shutNotice}</p>
          <div class={bannerCss.ways}>
            {path.value !== hrefOf.keeper && (
              <a class="link" href={hrefOf.keeper}>
                {words.account.shutNoticeLink}
              </a>
            )}
            <button type="button" class="link" onClick={putAway}>
              {words.account.shutNoticeClose}
            </button>
          </div>
        </div>
      )}
      {state === 'stopped' && (code === 'erased' ? <Gone unsent={unsent} /> : <Stopped code={code} unsent={unsent} />)}
      {unasked && path.value !== `/bring/${unasked.id}` && (
        <div class={bannerCss.banner} role="status">
          <p>{words.forgotten.here(unasked.account)}</p>
          <a class="link" href={`/bring/${unasked.id}`}>
            {words.forgotten.way}
          </a>
        </div>
      )}
      {state !== 'stopped' && online && code !== null && (code !== 'busy' || state === 'catching_up') && (
        <div class={`${bannerCss.banner} ${bannerCss.mind}`} role="status">
          <p>
            <b>{words.stopped(code).what}</b> {words.stopped(code).then}
          </p>
        </div>
      )}
      {unreadable > 0 && (
        <div class={`${bannerCss.banner} ${bannerCss.mind}`} role="status">
          <p>{words.unreadable(unreadable)}</p>
          <a class="link" href="/keeper/export">
            {words.exporting.title}
          </a>
        </div>
      )}
      {state !== 'stopped' && state !== 'local' && unsent > 0 && !online && (
        <div class={bannerCss.banner} role="status">
          <p>
            <b>{words.unsent(unsent)}</b> {words.keptHere}
          </p>
        </div>
      )}
    </>
  );
}

/** Codes that only being admitted again can end. */
const unadmitted: ReadonlySet<string> = new Set(['revoked', 'signed_out', 'expired', 'no_journal']);

function Stopped({ code, unsent }: { code: string | null; unsent: number }) {
  const { what, then } = words.stopped(code);
  return (
    <div class={`${bannerCss.banner} ${bannerCss.mind}`} role="status">
      <p>
        <b>{what}</b> {then} {words.unsentKept(unsent)}
      </p>
      <div class={bannerCss.ways}>
        {unadmitted.has(code ?? '') ? (
          <a class="link" href={journal.value?.paired?.has_password ? '/sign-in' : '/pair'}>
            {journal.value?.paired?.has_password ? words.door.signIn.again : words.keeper.pairAgain}
          </a>
        ) : (
          <button type="button" class="link" onClick={syncNow}>
            {words.tryAgain}
          </button>
        )}
        <a class="link" href="/keeper/export">
          {words.exporting.title}
        </a>
      </div>
    </div>
  );
}

/** The journal was deleted from another device: nothing goes from here before the person says so. */
function Gone({ unsent }: { unsent: number }) {
  return (
    <div class={`${bannerCss.banner} ${bannerCss.mind}`} role="status">
      <p>
        <b>{words.late.what}</b> {words.late.then} {words.late.unsent(unsent)}
      </p>
      <a class="link" href="/keeper/export">
        {words.late.way}
      </a>
    </div>
  );
}

/** Our mark, as in the icon: a flared measure with etched lines and a level. */
export function MeasureMark() {
  return (
    <svg width="30" height="34" viewBox="108 92 280 330" aria-hidden="true">
      <g fill="none" stroke="currentColor" stroke-width="18" stroke-linecap="round" stroke-linejoin="round">
        <path d="M126 112C146 113 155 122 159 138L211 350Q216 372 238 372H276Q298 372 303 350L362 112M257 372V402M192 406H322M268 150H328M270 292H298M193 222Q257 264 322 222" />
      </g>
    </svg>
  );
}
