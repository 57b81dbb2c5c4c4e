import { useEffect } from 'preact/hooks';
import type { KeeperAnswer } from '../../../shared/core.ts';
import { appVersion } from '../../../shared/version.ts';
import { syncNow, useAnswer } from '../../core-client.ts';
import { moment, shortDay, span, withDates } from '../../format.ts';
import { Frame } from '../../frame.tsx';
import { Confirm } from '../../parts/confirm.tsx';
import { Select } from '../../parts/field.tsx';
import { save } from '../../parts/saved.tsx';
import { Waiting } from '../../parts/waiting.tsx';
import { journal, kept, sync } from '../../state.ts';
import { Mark } from '../../state-mark.tsx';
import { hand, theme } from '../../theme.ts';
import { words } from '../../words.ts';
import { Devices } from './devices.tsx';
import { TakeAlong } from './export.tsx';
import { Leave } from './leave.tsx';
import { Settings } from './settings.tsx';
import './style.css';

/** How things stand: syncing, devices, what waits to be chosen, the trash, and the settings. */
export function Keeper() {
  const { answer, slow, fault } = useAnswer({ q: 'keeper' });
  const paired = journal.value?.paired ?? null;
  const unpaired = journal.value !== null && paired === null;
  return (
    <Frame
      title={words.rooms.keeper}
      away="/"
      {...(unpaired ? { act: { label: words.keeper.pair, href: '/pair' } } : {})}
    >
      <div class="panes even">
        <div>
          <Syncing />
          {paired && paired.out === undefined && <Devices />}
          {answer && <Waits answer={answer} />}
        </div>
        <div>
          {answer ? (
            <Settings settings={answer.settings} countries={answer.countries} />
          ) : (
            <Waiting slow={slow} fault={fault} />
          )}
          <ThisDevice />
          <TakeAlong />
          <Leave />
          <section class="part">
            <h2>{words.keeper.cautions}</h2>
            <ul class="cautions">
              {words.keeper.cautionList.map((text) => (
                <li key={text}>{text}</li>
              ))}
            </ul>
          </section>
          <section class="part">
            <h2>{words.keeper.about}</h2>
            {answer && (
              <p>
                {words.keeper.counts(
                  answer.counts.drinks,
                  answer.counts.specs,
                  answer.counts.pours,
                  answer.counts.bottles,
                )}
              </p>
            )}
            <p class="quiet">{words.keeper.version(appVersion)}</p>
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
  const why = now.state === 'stopped' ? words.stopped(now.code) : null;
  const off = Math.abs(now.clock_off_ms) >= 120_000;
  return (
    <section class="part first" aria-live="polite">
      <h2>{words.keeper.sync}</h2>
      <p class="name">{why ? why.what : words.keeper.states[offline ? 'offline' : now.state]}</p>
      {why && <p>{why.then}</p>}
      {now.state !== 'local' && <p>{words.unsentKept(now.unsent)}</p>}
      {now.state !== 'local' && (
        <p class="quiet">{when === '' ? words.keeper.neverSync : words.keeper.lastSync(when)}</p>
      )}
      {now.code !== null && <p class="quiet">{words.keeper.code(now.code, when)}</p>}
      {off && (
        <p class="quiet">
          {words.keeper.clock(span(Math.round(Math.abs(now.clock_off_ms) / 60_000)), now.clock_off_ms < 0)}
        </p>
      )}
      {paired ? (
        <p class="quiet">
          {paired.out === undefined
            ? words.keeper.account(paired.account, paired.name)
            : words.leaving.out(paired.account, paired.out)}
        </p>
      ) : (
        <p>{words.keeper.unpaired}</p>
      )}
      {apart > 0 && <p class="quiet">{words.keeper.apart(apart)}</p>}
      <div class="btns">
        {paired && paired.out === undefined && (
          <button type="button" class="btn" onClick={syncNow}>
            {now.state === 'stopped' ? words.tryAgain : words.keeper.now}
          </button>
        )}
        <a class="btn" href="/pair">
          {paired ? words.keeper.pairAgain : words.keeper.pair}
        </a>
      </div>
    </section>
  );
}

/** What waits for the person: clashes, what does not hang together, the trash. */
function Waits({ answer }: { answer: KeeperAnswer }) {
  const { clashes, needs_look, trash } = answer;
  return (
    <>
      <section class="part">
        <h2>{words.keeper.clashes}</h2>
        {clashes.length === 0 && <p class="quiet">{words.keeper.noClashes}</p>}
        <ul class="rows">
          {clashes.map((clash) => (
            <li key={`${clash.id} ${clash.field}`}>
              <a class="row" href={`/clash/${clash.id}`}>
                <span>
                  {clash.kind === 'set' ? words.clash.field('set', clash.title) : withDates(clash.title)}
                  <br />
                  <span class="quiet">{words.clash.field(clash.kind, clash.field)}</span>
                </span>
                <span class="state look">
                  <Mark shape="offset" />
                  {words.pour.choose}
                </span>
              </a>
            </li>
          ))}
        </ul>
      </section>
      <section class="part">
        <h2>{words.keeper.look}</h2>
        {needs_look.length === 0 && <p class="quiet">{words.keeper.noLook}</p>}
        <ul class="rows">
          {needs_look.map((it) => {
            const href = hrefOf(it.kind, it.id);
            const said = (
              <span>
                {withDates(it.title) || words.keeper.kind[it.kind]}
                <br />
                <span class="quiet">{words.keeper.lookWhy[it.code] ?? it.code}</span>
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
      <section class="part">
        <h2>{words.keeper.trash}</h2>
        {trash.length === 0 && <p class="quiet">{words.keeper.noTrash}</p>}
        <ul class="rows">
          {trash.map((it) => {
            const title = withDates(it.title) || (words.keeper.kind[it.kind] ?? it.kind);
            return (
              <li key={it.id} class="thrown">
                <p>
                  {title}
                  <br />
                  <span class="quiet">
                    {words.keeper.trashed(words.keeper.kind[it.kind] ?? it.kind, shortDay(it.day))}
                  </span>
                </p>
                <div class="btns">
                  <button
                    type="button"
                    class="btn"
                    aria-label={words.keeper.restoreLabel(title)}
                    onClick={() =>
                      void save({ do: 'restore', id: it.id }, words.keeper.restored(title), () => ({
                        do: 'delete',
                        id: it.id,
                      }))
                    }
                  >
                    {words.keeper.restore}
                  </button>
                  <Confirm
                    label={words.keeper.erase}
                    named={words.keeper.eraseLabel(title)}
                    question={words.keeper.eraseSure(title)}
                    yes={words.keeper.eraseYes}
                    onYes={() => void save({ do: 'erase', id: it.id }, words.keeper.erased(title))}
                  />
                </div>
              </li>
            );
          })}
        </ul>
      </section>
    </>
  );
}

function hrefOf(kind: string, id: string): string | null {
  if (kind === 'pour') return `/journal/${id}`;
  if (kind === 'spec') return `/specs/${id}`;
  return null;
}

/** How this device shows the app and whether it keeps what is here: nothing of it is in the journal. */
function ThisDevice() {
  useEffect(() => {
    // Without asking: only what it has promised already.
    void navigator.storage?.persisted?.().then((yes) => {
      if (yes) kept.value = true;
    });
  }, []);
  const ask = async () => {
    try {
      kept.value = await navigator.storage.persist();
    } catch {
      kept.value = null;
    }
  };
  return (
    <section class="part">
      <h2>{words.keeper.show}</h2>
      <div class="twofields">
        <Select
          label={words.keeper.theme}
          value={theme.value}
          onChange={(value) => {
            theme.value = value;
          }}
          options={(['system', 'dark', 'light'] as const).map((key) => [key, words.keeper.themeOption[key] ?? key])}
        />
        <Select
          label={words.keeper.hand}
          value={hand.value}
          onChange={(value) => {
            hand.value = value;
          }}
          options={(['right', 'left'] as const).map((key) => [key, words.keeper.handOption[key] ?? key])}
        />
      </div>
      <p>
        {kept.value === true
          ? words.keeper.kept.yes
          : kept.value === false
            ? words.keeper.kept.no
            : words.keeper.kept.unknown}
      </p>
      {kept.value !== true && (
        <div class="btns">
          <button type="button" class="btn" onClick={() => void ask()}>
            {words.keeper.askKeep}
          </button>
        </div>
      )}
    </section>
  );
}
