import { useEffect, useRef, useState } from 'preact/hooks';
import type { ApiAnswer } from '../../../shared/messages.ts';
import { sync } from '../../state.ts';
import { later } from '../../words.ts';
import { get, isRecord, problemIn, send } from '../../parts/answer.ts';
import { Qr } from './qr.tsx';
import * as fieldCss from '../../parts/field.module.css';
import * as css from './style.module.css';

/** A living code of the account. */
export interface Code {
  id: string;
  expiresMs: number;
  /** The device that waits with it. */
  waits: string | null;
}

const everyMs = 3_000;

/** Lets another device in: a code to scan or type, then the number that device shows. */
export function AddDevice({ onChange }: { onChange: () => void }) {
  /** The code that was asked for here; only this page ever knows it. */
  const [mine, setMine] = useState<{ id: string; code: string } | null>(null);
  const [codes, setCodes] = useState<Code[]>([]);
  const [said, setSaid] = useState<{ text: string; bad: boolean } | null>(null);
  const gone = useRef(false);

  const look = async () => {
    const listed = codesIn(await get('/api/v1/auth/codes'));
    if (listed && !gone.current) setCodes(listed);
  };
  useEffect(() => {
    gone.current = false;
    void look();
    return () => {
      gone.current = true;
    };
  }, []);
  const any = codes.length > 0;
  useEffect(() => {
    if (!any) return;
    const timer = setInterval(() => {
      if (document.visibilityState === 'visible') void look();
    }, everyMs);
    return () => clearInterval(timer);
  }, [any]);

  const ask = async () => {
    setSaid(null);
    const answer = await send('/api/v1/auth/codes', {});
    const asked = askedIn(answer);
    if (!asked) {
      setSaid({ text: later.adding.failed(problemIn(answer)), bad: true });
    } else {
      setMine(asked);
      setCodes((before) => [...before, { id: asked.id, expiresMs: asked.expiresMs, waits: null }]);
    }
  };
  const confirm = async (code: Code, number: string) => {
    const answer = await send('/api/v1/auth/codes/confirm', { id: code.id, number });
    const ok = answer.status === 200;
    setSaid({ text: ok ? later.adding.letIn(code.waits ?? '') : later.adding.failed(problemIn(answer)), bad: !ok });
    await look();
    onChange();
  };
  const cancel = async (code: Code) => {
    const answer = await send('/api/v1/auth/codes/cancel', { id: code.id });
    if (answer.status !== 200) setSaid({ text: later.adding.failed(problemIn(answer)), bad: true });
    else setSaid(code.waits === null ? null : { text: later.adding.refused, bad: false });
    if (mine?.id === code.id) setMine(null);
    await look();
  };

  const shown = mine && codes.find((code) => code.id === mine.id);
  const over = mine !== null && !shown && said === null;
  return (
    <>
      <div aria-live="polite">
        {said && <p role={said.bad ? 'alert' : undefined}>{said.text}</p>}
        {over && <p>{later.adding.over}</p>}
      </div>
      {codes.map((code) =>
        code.waits !== null ? (
          <Waits
            key={code.id}
            name={code.waits}
            onConfirm={(number) => void confirm(code, number)}
            onRefuse={() => void cancel(code)}
          />
        ) : code.id === mine?.id ? (
          <Shown key={code.id} code={mine.code} minutes={minutesOf(code)} onCancel={() => void cancel(code)} />
        ) : (
          <div key={code.id}>
            <p>{later.adding.earlier(minutesOf(code))}</p>
            <div class="btns">
              <button type="button" class="btn" onClick={() => void cancel(code)}>
                {later.adding.cancel}
              </button>
            </div>
          </div>
        ),
      )}
      {!shown && (
        <div class="btns">
          <button type="button" class="btn" onClick={() => void ask()}>
            {later.adding.act}
          </button>
        </div>
      )}
    </>
  );
}

function Shown({ code, minutes, onCancel }: { code: string; minutes: number; onCancel: () => void }) {
  const link = `${location.origin}/pair#code=${code}`;
  return (
    <div class={css.adding}>
      <p>{later.adding.how}</p>
      <Qr text={link} label={later.adding.qr} />
      <dl>
        <dt class="quiet">{later.adding.code}</dt>
        <dd class={`fig one ${css.paircode}`} data-testid="code">
          {code}
        </dd>
        <dt class="quiet">{later.adding.link}</dt>
        <dd class={css.pairlink} data-testid="pairlink">
          {link}
        </dd>
      </dl>
      <p class="quiet">{later.adding.good(minutes)}</p>
      <div class="btns">
        <button type="button" class="btn" onClick={onCancel}>
          {later.adding.cancel}
        </button>
      </div>
    </div>
  );
}

function Waits({
  name,
  onConfirm,
  onRefuse,
}: {
  name: string;
  onConfirm: (number: string) => void;
  onRefuse: () => void;
}) {
  const [number, setNumber] = useState('');
  return (
    <form
      class={css.adding}
      onSubmit={(event) => {
        event.preventDefault();
        onConfirm(number);
      }}
    >
      <p role="status">{later.adding.waits(name)}</p>
      <div class={fieldCss.field}>
        <label for="number">{later.adding.number}</label>
        <input
          id="number"
          class={css.twodigits}
          value={number}
          inputMode="numeric"
          maxLength={2}
          autocomplete="off"
          aria-describedby="number-help"
          onInput={(event) => {
            const digits = event.currentTarget.value.replace(/\D/g, '').slice(0, 2);
            event.currentTarget.value = digits;
            setNumber(digits);
          }}
        />
        <p class="quiet" id="number-help">
          {later.adding.once}
        </p>
      </div>
      <div class="btns">
        <button type="button" class="btn" onClick={onRefuse}>
          {later.adding.refuse}
        </button>
        <button type="submit" class={`btn strong ${css.allow}`} disabled={number.length !== 2}>
          {later.adding.confirm}
        </button>
      </div>
    </form>
  );
}

/** By the server's clock, which the code is measured with. */
function minutesOf(code: Code): number {
  return Math.max(1, Math.ceil((code.expiresMs - Date.now() - sync.value.clock_off_ms) / 60_000));
}

function askedIn({ status, body }: ApiAnswer): { id: string; code: string; expiresMs: number } | null {
  if (status !== 200 || !isRecord(body)) return null;
  const { id, code, expires_ms: expiresMs } = body;
  if (typeof id !== 'string' || typeof code !== 'string' || typeof expiresMs !== 'number') return null;
  return { id, code, expiresMs };
}

/** The server's list, checked at the door; null when there is no answer. */
export function codesIn({ status, body }: ApiAnswer): Code[] | null {
  if (status !== 200 || !isRecord(body) || !Array.isArray(body.codes)) return null;
  return body.codes.flatMap((it: unknown): Code[] => {
    if (!isRecord(it) || typeof it.id !== 'string' || typeof it.expires_ms !== 'number') return [];
    const waits = isRecord(it.waits) && typeof it.waits.name === 'string' ? it.waits.name : null;
    return [{ id: it.id, expiresMs: it.expires_ms, waits }];
  });
}
