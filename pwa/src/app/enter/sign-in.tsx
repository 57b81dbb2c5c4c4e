import { useState } from 'preact/hooks';
import { nameOf, placeOf } from '../admission.ts';
import { Frame } from '../frame.tsx';
import { journal } from '../state.ts';
import { later, words } from '../words.ts';
import { any, type Faults, nameFault, tidyName, useEntering } from './entering.ts';
import { Entry, Password, Whole } from './fields.tsx';
import * as doorCss from './door.module.css';

/** An account this server has is opened on this device. */
export function SignIn() {
  const { faults, over, form, show, asking, send } = useEntering('sign-in');
  const place = placeOf();
  const paired = journal.value?.paired;
  const [typed, setName] = useState<string | null>(null);
  const name = typed ?? (paired?.has_password ? paired.account : '');
  const [password, setPassword] = useState('');
  const [called, setDevice] = useState<string | null>(null);
  const device = called ?? paired?.name ?? words.pair.names[nameOf(place)];
  const submit = () => {
    const wrong: Faults = {};
    const atName = nameFault(name);
    if (atName !== null) wrong.name = atName;
    if (password === '') wrong.password = later.door.passwordMissing;
    if (any(wrong)) return show(wrong);
    void send({ name: tidyName(name), password, device: tidyName(device) });
  };
  return (
    <Frame
      title={words.door.signIn.title}
      away="/"
      act={{ label: words.door.signIn.act, form: 'sign-in', disabled: asking }}
      {...(paired && paired.out === undefined ? { sub: later.door.already(paired.account) } : {})}
    >
      <form
        ref={form}
        id="sign-in"
        class={`${doorCss.door} narrow`}
        noValidate
        onSubmit={(event) => {
          event.preventDefault();
          submit();
        }}
      >
        <Whole error={faults['']} over={over} asking={asking} />
        <Entry
          label={later.door.account}
          name="username"
          value={name}
          onInput={setName}
          error={faults.name}
          autocomplete="username"
        />
        <Password
          label={later.door.password}
          name="password"
          value={password}
          onInput={setPassword}
          error={faults.password}
          autocomplete="current-password"
        />
        <Entry label={later.door.device} name="device" value={device} onInput={setDevice} error={faults.device} />
        {place.ios && !place.standalone && <p>{words.first.ios}</p>}
        <p class="quiet">{words.first.caution}</p>
        <p class="quiet">{words.door.signIn.lost}</p>
        <p class="quiet">{words.door.signIn.notSetUp}</p>
        <div class={doorCss.doorways}>
          <a class="link" href="/pair">
            {words.door.signIn.toPair}
          </a>
        </div>
      </form>
    </Frame>
  );
}
