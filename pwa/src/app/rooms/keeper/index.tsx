import type { ComponentChildren } from 'preact';
import { useEffect } from 'preact/hooks';
import type { KeeperAnswer } from '../../../shared/core.ts';
import type { Paired } from '../../../shared/messages.ts';
import { appVersion } from '../../../shared/version.ts';
import { me, syncNow, useAnswer } from '../../core-client.ts';
import { moment, span, withDates } from '../../format.ts';
import { Frame } from '../../frame.tsx';
import { Waiting } from '../../parts/waiting.tsx';
import { journal, sync } from '../../state.ts';
import { Mark } from '../../state-mark.tsx';
import { later, words } from '../../words.ts';
import { Devices } from './devices.tsx';
import { Leave } from './leave.tsx';
import { isGone, signedIn } from '../../parts/signed-in.ts';
import * as cautionsCss from '../../parts/cautions.module.css';
import * as toneCss from '../../parts/tone.module.css';
import * as css from './style.module.css';
import * as stateMarkCss from '../../state-mark.module.css';

/** How things stand: syncing, what waits to be chosen, the devices; the account and the journal have pages of their own. */
export function Keeper() {
  const { answer, slow, fault } = useAnswer({ q: 'keeper' });
  const paired = journal.value?.paired ?? null;
  const unpaired = journal.value !== null && paired === null;
  return (
    <Frame
      title={words.rooms.keeper}
      away="/"
      {...(unpaired ? { act: { label: later.keeper.pair, href: '/pair' } } : {})}
    >
      <div class="panes even">
        <div>
          <Syncing />
          {answer ? <Waits answer={answer} /> : <Waiting slow={slow} fault={fault} />}
          {signedIn() && <Devices />}
        </div>
        <div>
          {paired && signedIn() && <AccountPart paired={paired} />}
          <ThisJournal trash={answer?.trash.length ?? null} />
          <Leave />
          <section class="part">
            <h2>{later.keeper.cautions}</h2>
            <ul class={cautionsCss.cautions}>
              {later.keeper.cautionList.map((text) => (
                <li key={text}>{text}</li>
              ))}
            </ul>
            <p>
              <a class="link" href="/week/help">
                {later.week.helpPage}
              </a>
            </p>
          </section>
          <section class="part">
            <h2>{later.keeper.about}</h2>
            {answer && (
              <p>
                {later.keeper.counts(
                  answer.counts.drinks,
                  answer.counts.specs,
                  answer.counts.pours,
                  answer.counts.bottles,
                )}
              </p>
            )}
            <p class="quiet">{later.keeper.version(appVersion)}</p>
          </section>
        </div>
      </div>
    </Frame>
  );
}

function Syncing() {
  const now = sync.value;
  const { paired, apart } = journal.value ?? { paired: null, apart: 0 };
  const offline = !now.online && now.state !== 'local' && now.state !== 'stopped';
  const when = now.last_ms === null ? '' : moment(now.last_ms);
  const why = now.state === 'stopped' || (now.code !== null && !offline) ? words.stopped(now.code) : null;
  const off = Math.abs(now.clock_off_ms) >= 120_000;
  return (
    <section class="part first" aria-live="polite">
      <h2>{later.keeper.sync}</h2>
      <p class="name">{why ? why.what : later.keeper.states[offline ? 'offline' : now.state]}</p>
      {why && <p>{why.then}</p>}
      {now.state !== 'local' && <p>{words.unsentKept(now.unsent)}</p>}
      {now.unreadable > 0 && (
        <p>
          {words.unreadable(now.unreadable)}{' '}
          <a class="link" href="/keeper/export">
            {words.exporting.title}
          </a>
        </p>
      )}
      {now.state !== 'local' && (
        <p class="quiet">{when === '' ? later.keeper.neverSync : later.keeper.lastSync(when)}</p>
      )}
      {now.code !== null && <p class="quiet">{later.keeper.code(now.code, when)}</p>}
      {off && (
        <p class="quiet">
          {later.keeper.clock(span(Math.round(Math.abs(now.clock_off_ms) / 60_000)), now.clock_off_ms < 0)}
        </p>
      )}
      {paired ? (
        <p class="quiet">
          {paired.out === undefined
            ? later.keeper.account(paired.account, paired.name)
            : later.leaving.out(paired.account, paired.out)}
        </p>
      ) : (
        <p>{later.keeper.unpaired}</p>
      )}
      {apart > 0 && <p class="quiet">{later.keeper.apart(apart)}</p>}
      <div class="btns">
        {paired && paired.out === undefined && (
          <button type="button" class="btn" onClick={syncNow}>
            {now.state === 'stopped' ? words.tryAgain : later.keeper.now}
          </button>
        )}
        {!signedIn() && !isGone() && (
          <a class="btn" href="/sign-in">
            {words.door.signIn.act}
          </a>
        )}
        <a class="btn" href="/pair">
          {paired ? words.keeper.pairAgain : later.keeper.pair}
        </a>
      </div>
    </section>
  );
}

/** Who the account is, and the pages of it. */
function AccountPart({ paired }: { paired: Paired }) {
  const { undecided, apart, forgotten = [] } = journal.value ?? { undecided: 0, apart: 0 };
  useEffect(() => {
    if (sync.value.online) void me().catch(() => undefined); // role and password may have been changed elsewhere
  }, [sync.value.online]);
  return (
    <section class="part">
      <h2>{later.account.heading}</h2>
      <p class="name">{paired.account}</p>
      <p class="quiet">{later.account.role[paired.role]}</p>
      <ul class="rows">
        {undecided + apart > 0 && (
          <Way
            href="/bring"
            what={undecided > 0 ? later.account.undecidedWhat(undecided) : later.account.apartWhat(apart)}
          >
            {later.account.undecided}
          </Way>
        )}
        {forgotten.map(({ id, account }) => (
          <Way key={id} href={`/bring/${id}`} what={later.forgotten.wayWhat}>
            {later.forgotten.way(account)}
          </Way>
        ))}
        <Way href="/password" what={paired.has_password ? later.account.passwordWhat : later.account.noPassword}>
          {paired.has_password ? later.account.password : later.account.setPassword}
        </Way>
        <Way href="/keeper/sign-ins" what={later.account.signInsWhat}>
          {later.account.signIns}
        </Way>
        {paired.role === 'owner' && (
          <Way href="/keeper/household" what={later.account.householdWhat}>
            {later.account.household}
          </Way>
        )}
        <Way href="/keeper/delete" what={later.account.deleteWhat}>
          {words.deleting.title}
        </Way>
      </ul>
      <p class="quiet">{later.account.legal}</p>
    </section>
  );
}

/** The pages of what is on this device. */
function ThisJournal({ trash }: { trash: number | null }) {
  return (
    <section class="part">
      <h2>{later.account.journal}</h2>
      <ul class="rows">
        <Way href="/keeper/settings" what={later.account.settingsWhat}>
          {later.keeper.settings}
        </Way>
        <Way href="/keeper/calibration" what={later.calibration.link}>
          {later.calibration.title}
        </Way>
        <Way href="/keeper/export" what={later.account.exportWhat}>
          {words.exporting.title}
        </Way>
        {!isGone() && (
          <Way href="/keeper/bring-file" what={later.account.bringWhat}>
            {later.bringingFile.title}
          </Way>
        )}
        <Way href="/keeper/trash" what={trash === null ? '' : later.account.trashCount(trash)}>
          {later.keeper.trash}
        </Way>
      </ul>
    </section>
  );
}

/** A row that leads to a page of Keeper. */
function Way({ href, what, children }: { href: string; what: string; children: ComponentChildren }) {
  return (
    <li>
      <a class="row" href={href}>
        <span>
          {children}
          <br />
          <span class={`quiet ${css.beneath}`}>{what}</span>
        </span>
      </a>
    </li>
  );
}

/** What waits for the person: clashes, and what does not hang together. */
function Waits({ answer }: { answer: KeeperAnswer }) {
  const { clashes, needs_look } = answer;
  return (
    <>
      {clashes.length > 0 && (
        <section class="part">
          <h2>{later.keeper.clashes}</h2>
          <ul class="rows">
            {clashes.map((clash) => (
              <li key={`${clash.id} ${clash.field}`}>
                <a class="row" href={`/clash/${clash.id}`}>
                  <span>
                    {clash.kind === 'set' ? later.clash.field('set', clash.title) : withDates(clash.title)}
                    <br />
                    <span class="quiet">{later.clash.field(clash.kind, clash.field)}</span>
                  </span>
                  <span class={`${stateMarkCss.state} ${toneCss.look}`}>
                    <Mark shape="offset" />
                    {later.pour.choose}
                  </span>
                </a>
              </li>
            ))}
          </ul>
        </section>
      )}
      {needs_look.length > 0 && (
        <section class="part">
          <h2>{later.keeper.look}</h2>
          <ul class="rows">
            {needs_look.map((it) => {
              const href = hrefOf(it.kind, it.id);
              const said = (
                <span>
                  {withDates(it.title) || later.keeper.kind[it.kind]}
                  <br />
                  <span class="quiet">{later.keeper.lookWhy[it.code] ?? it.code}</span>
                </span>
              );
              return (
                <li key={`${it.id} ${it.code}`}>
                  {href ? (
                    <a class="row" href={href}>
                      {said}
                    </a>
                  ) : (
                    <div class="row">{said}</div>
                  )}
                </li>
              );
            })}
          </ul>
        </section>
      )}
    </>
  );
}

function hrefOf(kind: string, id: string): string | null {
  if (kind === 'pour') return `/journal/${id}`;
  if (kind === 'spec') return `/specs/${id}`;
  if (kind === 'comparison') return `/side/${id}`;
  if (kind === 'flight') return `/flight/${id}`;
  return null;
}
