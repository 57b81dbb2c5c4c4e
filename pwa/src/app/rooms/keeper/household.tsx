import { useEffect, useState } from 'preact/hooks';
import { moment } from '../../format.ts';
import { Frame } from '../../frame.tsx';
import { journal, sync } from '../../state.ts';
import { later } from '../../words.ts';
import { type Account, accountsIn, type Invitation, invitationsIn, invitedIn } from './account.ts';
import { get, problemIn, send } from '../../parts/answer.ts';
import { Qr } from './qr.tsx';
import * as css from './style.module.css';

/** Who has an account, and invitations to make one. */
export function Household() {
  const paired = journal.value?.paired;
  return (
    <Frame title={later.household.title} away="/keeper">
      {paired?.role === 'owner' ? (
        <>
          <p class="narrow">{later.household.private}</p>
          <div class={`panes even ${css.household}`}>
            <Accounts mine={paired.account} />
            <Invitations />
          </div>
        </>
      ) : (
        journal.value !== null && <p>{later.household.notOwner}</p>
      )}
    </Frame>
  );
}

function Accounts({ mine }: { mine: string }) {
  const [accounts, setAccounts] = useState<Account[] | 'asking' | 'none'>('asking');
  const ask = async () => {
    setAccounts('asking');
    setAccounts(accountsIn(await get('/api/v1/accounts')) ?? 'none');
  };
  useEffect(() => {
    void ask();
  }, [sync.value.online]);
  return (
    <section class="part">
      <h2>{later.household.accounts}</h2>
      {accounts === 'none' && (
        <>
          <p class="quiet">{later.household.none}</p>
          <div class="btns">
            <button type="button" class="btn" onClick={() => void ask()}>
              {later.household.ask}
            </button>
          </div>
        </>
      )}
      <ul class="rows">
        {Array.isArray(accounts) &&
          accounts.map(({ name, role, seenMs, devices }) => (
            <li key={name} class={css.event}>
              <p class="name">{name}</p>
              <p class="quiet">
                {[
                  later.household.role[role] ?? role,
                  name === mine && later.household.you,
                  later.household.devices(devices),
                  seenMs > 0 ? later.keeper.seen(moment(seenMs)) : later.household.never,
                ]
                  .filter((it) => it !== false)
                  .join(' · ')}
              </p>
            </li>
          ))}
      </ul>
    </section>
  );
}

function Invitations() {
  /** The one that was asked for here; only this page ever knows its code. */
  const [mine, setMine] = useState<{ id: string; code: string } | null>(null);
  const [living, setLiving] = useState<Invitation[]>([]);
  const [said, setSaid] = useState<{ text: string; bad: boolean } | null>(null);
  const look = async () => {
    const listed = invitationsIn(await get('/api/v1/accounts/invitations'));
    if (listed) setLiving(listed);
  };
  useEffect(() => {
    void look();
  }, [sync.value.online]);
  const invite = async () => {
    setSaid(null);
    const answer = await send('/api/v1/accounts/invitations', {});
    const asked = invitedIn(answer);
    if (!asked) return setSaid({ text: later.household.failed(problemIn(answer)), bad: true });
    setMine(asked);
    setLiving((before) => [...before, { id: asked.id, expiresMs: asked.expiresMs }]);
  };
  const cancel = async (id: string) => {
    const answer = await send('/api/v1/accounts/invitations/cancel', { id });
    if (answer.status === 200) setSaid({ text: later.household.ended, bad: false });
    else setSaid({ text: later.household.failed(problemIn(answer)), bad: true });
    if (answer.status === 200 && mine?.id === id) setMine(null);
    await look();
  };
  const shown = mine && living.find(({ id }) => id === mine.id);
  return (
    <section class="part">
      <h2>{later.household.invitations}</h2>
      <p class="quiet">{later.household.invitationsWhat}</p>
      <div aria-live="polite">{said && <p role={said.bad ? 'alert' : undefined}>{said.text}</p>}</div>
      {shown && <Shown code={mine.code} until={moment(shown.expiresMs)} onCancel={() => void cancel(shown.id)} />}
      <ul class="rows">
        {living
          .filter(({ id }) => id !== shown?.id)
          .map(({ id, expiresMs }) => (
            <li key={id} class={css.event}>
              <p>{later.household.earlier(moment(expiresMs))}</p>
              <div class="btns">
                <button
                  type="button"
                  class="btn"
                  aria-label={later.household.cancelLabel(moment(expiresMs))}
                  onClick={() => void cancel(id)}
                >
                  {later.household.cancel}
                </button>
              </div>
            </li>
          ))}
      </ul>
      {!shown && (
        <div class="btns">
          <button type="button" class="btn" onClick={() => void invite()}>
            {later.household.invite}
          </button>
        </div>
      )}
    </section>
  );
}

function Shown({ code, until, onCancel }: { code: string; until: string; onCancel: () => void }) {
  const [copied, setCopied] = useState(false);
  const link = `${location.origin}/join#code=${code}`;
  const copy = async () => {
    try {
      await navigator.clipboard.writeText(link);
      setCopied(true);
    } catch {
      setCopied(false); // it stands there to be read
    }
  };
  return (
    <div class={css.adding}>
      <p>{later.household.how}</p>
      <Qr text={link} label={later.household.qr} />
      <dl>
        <dt class="quiet">{later.household.code}</dt>
        <dd class={`fig one ${css.paircode}`} data-testid="code">
          {code}
        </dd>
        <dt class="quiet">{later.household.link}</dt>
        <dd class={css.pairlink} data-testid="pairlink">
          {link}
        </dd>
      </dl>
      <p class="quiet">{later.household.until(until)}</p>
      <div class="btns">
        <button type="button" class="btn" onClick={() => void copy()}>
          {copied ? later.household.copied : later.household.copy}
        </button>
        <button type="button" class="btn" onClick={onCancel}>
          {later.household.cancel}
        </button>
      </div>
    </div>
  );
}
