import { signal } from '@preact/signals';
import { useState } from 'preact/hooks';
import type { Paired } from '../shared/messages.ts';
import { api, me } from './core-client.ts';
import { any, type Faults, faultsOf, newPasswordFault, refusedIn, useFaults } from './enter/entering.ts';
import { Password, Whole } from './enter/fields.tsx';
import { Frame } from './frame.tsx';
import { signedIn } from './parts/signed-in.ts';
import { journal } from './state.ts';
import { later, words } from './words.ts';
import * as doorCss from './enter/door.module.css';
import * as tickboxCss from './parts/tickbox.module.css';

const asking = signal(false);

export function PasswordPage() {
  const paired = journal.value?.paired;
  return (
    <Frame
      title={later.password.title}
      away="/keeper"
      {...(paired && signedIn()
        ? {
            sub: later.door.already(paired.account),
            act: {
              label: paired.has_password ? later.password.change : later.password.set,
              form: 'password',
              disabled: asking.value,
            },
          }
        : { act: { label: words.door.signIn.act, href: '/sign-in' } })}
    >
      {paired && signedIn() ? (
        <ChangePassword paired={paired} />
      ) : (
        journal.value !== null && <p>{later.password.out}</p>
      )}
    </Frame>
  );
}

/** The password of the account this device is signed in to, changed or set for the first time. */
function ChangePassword({ paired }: { paired: Paired }) {
  const { faults, over, form, show } = useFaults();
  const [old, setOld] = useState('');
  const [fresh, setFresh] = useState('');
  const [others, setOthers] = useState(false);
  const [said, setSaid] = useState('');
  const submit = async () => {
    setSaid('');
    const wrong: Faults = {};
    if (paired.has_password && old === '') wrong.old = later.door.passwordMissing;
    const atFresh = newPasswordFault(fresh);
    if (atFresh !== null) wrong.password = atFresh;
    if (any(wrong)) return show(wrong);
    asking.value = true;
    show({});
    const answer = await api('POST', '/api/v1/auth/password', {
      ...(paired.has_password ? { old } : {}),
      new: fresh,
      sign_out_others: others,
    }).catch(() => ({ status: 0, body: null }));
    asking.value = false;
    if (answer.status !== 200) {
      const refused = refusedIn(answer);
      return show(faultsOf(refused, Date.now()), refused.retryS);
    }
    setOld('');
    setFresh('');
    setOthers(false);
    setSaid(others ? outOf(answer.body) : later.password.changed(0));
    await me().catch(() => undefined); // has_password is asked again at the next start
  };
  return (
    <form
      ref={form}
      id="password"
      class={`${doorCss.door} narrow`}
      noValidate
      onSubmit={(event) => {
        event.preventDefault();
        void submit();
      }}
    >
      {!paired.has_password && said === '' && <p>{later.password.none}</p>}
      <Whole error={faults['']} over={over} asking={asking.value} />
      <p role="status">{said}</p>
      {/* whose password it is, for a password manager */}
      <input type="text" name="username" autocomplete="username" value={paired.account} readOnly hidden />
      {paired.has_password && (
        <Password
          label={later.password.now}
          name="old"
          value={old}
          onInput={setOld}
          error={faults.old}
          autocomplete="current-password"
        />
      )}
      <Password
        label={later.password.fresh}
        name="new"
        value={fresh}
        onInput={setFresh}
        error={faults.password}
        help={later.door.passwordHelp}
        autocomplete="new-password"
      />
      <label class={tickboxCss.tickbox}>
        <input type="checkbox" checked={others} onChange={(event) => setOthers(event.currentTarget.checked)} />{' '}
        {later.password.others}
      </label>
    </form>
  );
}

function outOf(body: unknown): string {
  const revoked = typeof body === 'object' && body !== null && 'revoked' in body ? body.revoked : null;
  const n = Array.isArray(revoked) ? revoked.length : 0;
  return n === 0 ? later.password.alone : later.password.changed(n);
}
