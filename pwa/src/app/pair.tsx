import type { ComponentChildren } from 'preact';
import { useState } from 'preact/hooks';
import { admission, admit, giveUp, held, nameOf, placeOf, waiting } from './admission.ts';
import { isWhole, tidyCode } from './code.ts';
import { Frame } from './frame.tsx';
import { Mark } from './state-mark.tsx';
import { journal } from './state.ts';
import { words } from './words.ts';
import * as pairCss from './pair.module.css';
import * as alertCss from './parts/alert.module.css';
import * as fieldCss from './parts/field.module.css';

/** Pairing: the code being redeemed, the code to carry into the Home Screen app, or the form to type one. */
export function Pair() {
  const it = admission.value;
  switch (it.at) {
    case 'asking':
      return (
        <Frame title={words.pair.title}>
          <p role="status">{words.pair.asking}</p>
        </Frame>
      );
    case 'carry':
      return <Carry code={it.code} title={words.pair.title} />;
    case 'refused':
      return <Form code={it.code} why={it.why} />;
    case 'waiting':
      return <Waiting />;
    case 'rest':
      return waiting.value === null ? <Form code={held.value.code} why={null} /> : <Waiting />;
  }
}

function Form({ code, why }: { code: string; why: string | null }) {
  const [typed, setTyped] = useState(tidyCode(code));
  const [name, setName] = useState<string>(words.pair.names[nameOf(placeOf())]);
  const paired = journal.value?.paired;
  const wrong = why === null ? null : words.pair.refused(why);
  return (
    <Frame
      title={words.pair.title}
      away="/keeper"
      act={{ label: words.pair.act, form: 'pair', disabled: !isWhole(tidyCode(typed)) }}
      {...(paired ? { sub: words.pair.already(paired.account) } : {})}
    >
      <form
        class={`narrow ${pairCss.pairing}`}
        id="pair"
        onSubmit={(event) => {
          event.preventDefault();
          void admit(tidyCode(typed), name.trim());
        }}
      >
        <div class={fieldCss.field} data-bad={wrong ? '' : undefined}>
          <label for="code">{words.pair.code}</label>
          <input
            id="code"
            name="code"
            value={typed}
            onInput={(event) => {
              const { value, selectionStart } = event.currentTarget;
              // In the middle of the code the caret stays; the groups are set when typing goes on at its end.
              setTyped(selectionStart === value.length ? tidyCode(value) : value);
            }}
            onBlur={() => setTyped(tidyCode(typed))}
            autocomplete="one-time-code"
            autocapitalize="characters"
            spellcheck={false}
            placeholder="XXXX-XXXX-XXXX"
            aria-invalid={wrong ? 'true' : undefined}
            aria-describedby="code-help"
          />
          {wrong ? (
            <p class={alertCss.err} id="code-help" role="alert">
              <Mark shape="triangle" />
              <span>{wrong}</span>
            </p>
          ) : (
            <p class="quiet" id="code-help">
              {words.pair.where}
            </p>
          )}
        </div>
        <div class={fieldCss.field}>
          <label for="name">{words.pair.name}</label>
          <input
            id="name"
            name="name"
            value={name}
            maxLength={60}
            onInput={(event) => setName(event.currentTarget.value)}
            autocomplete="off"
          />
        </div>
        <p class="quiet">{words.first.caution}</p>
        <p class="quiet">{words.pair.apart}</p>
        <a class="link" href="/sign-in">
          {words.pair.toSignIn}
        </a>
      </form>
    </Frame>
  );
}

function Waiting() {
  return (
    <Frame title={words.pair.title}>
      <section class="part first narrow" aria-live="polite">
        <p>{words.pair.confirm}</p>
        <p class={`fig one ${pairCss.code}`} data-testid="code">
          {waiting.value}
        </p>
        <p class="quiet">{words.pair.confirmWhere}</p>
        <p class="quiet">{words.pair.confirmStays}</p>
        <div class="btns">
          <button type="button" class="btn" onClick={() => void giveUp()}>
            {words.pair.giveUp}
          </button>
        </div>
      </section>
    </Frame>
  );
}

/** A code to be typed in the Home Screen app: what admits a tab in Safari does not admit that. */
export function Carry({ code, title, children }: { code: string; title: string; children?: ComponentChildren }) {
  const [copied, setCopied] = useState(false);
  const copy = async () => {
    try {
      await navigator.clipboard.writeText(code);
      setCopied(true);
    } catch {
      setCopied(false); // it stands there to be read
    }
  };
  return (
    <Frame title={title}>
      <section class="part first narrow">
        <p>{words.pair.carry}</p>
        <p class={`fig ${pairCss.carried}`}>{code}</p>
        <p>
          <button type="button" class="btn" onClick={() => void copy()}>
            {copied ? words.pair.copied : words.pair.copy}
          </button>
        </p>
        <ol class={pairCss.steps}>
          {words.pair.steps.map((step) => (
            <li key={step}>{step}</li>
          ))}
        </ol>
        {children}
      </section>
    </Frame>
  );
}
