import { useState } from 'preact/hooks';
import { held, nameOf, placeOf } from '../admission.ts';
import { Frame } from '../frame.tsx';
import { journal } from '../state.ts';
import { later, words } from '../words.ts';
import { any, type Faults, nameFault, newPasswordFault, tidyName, useEntering } from './entering.ts';
import { Entry, Password, Whole } from './fields.tsx';
import * as doorCss from './door.module.css';

/** The first account of a server, made with the key the server printed. */
export function Setup() {
  return <SetupForm key={held.value.key} />; // another link begins anew
}

function SetupForm() {
  const { faults, over, form, show, asking, send } = useEntering('setup');
  const place = placeOf();
  const [key, setKey] = useState(held.value.key);
  const [name, setName] = useState('');
  const [password, setPassword] = useState('');
  const [device, setDevice] = useState<string>(words.pair.names[nameOf(place)]);
  const paired = journal.value?.paired;
  const submit = () => {
    const wrong: Faults = {};
    if (key.trim() === '') wrong.key = later.door.setUp.keyMissing;
    const atName = nameFault(name);
    if (atName !== null) wrong.name = atName;
    const atPassword = newPasswordFault(password);
    if (atPassword !== null) wrong.password = atPassword;
    if (any(wrong)) return show(wrong);
    void send({ key: key.trim().toLowerCase(), name: tidyName(name), password, device: tidyName(device) });
  };
  // A key that came with the link is nothing to look at, unless it was not taken.
  const keyShown = held.value.key === '' || faults.key !== undefined || key !== held.value.key;
  return (
    <Frame
      title={later.door.setUp.title}
      away="/"
      act={{ label: later.door.setUp.act, form: 'setup', disabled: asking }}
      {...(paired ? { sub: later.door.already(paired.account) } : {})}
    >
      <form
        ref={form}
        id="setup"
        class={`${doorCss.door} narrow`}
        noValidate
        onSubmit={(event) => {
          event.preventDefault();
          submit();
        }}
      >
        <p>{later.door.setUp.what}</p>
        <p class="quiet">{later.door.setUp.reads}</p>
        <Whole error={faults['']} over={over} asking={asking} />
        {keyShown && (
          <Entry
            label={later.door.setUp.key}
            name="key"
            value={key}
            onInput={setKey}
            error={faults.key}
            help={later.door.setUp.keyHelp}
          />
        )}
        <Entry
          label={later.door.account}
          name="username"
          value={name}
          onInput={setName}
          error={faults.name}
          help={later.door.accountHelp}
          autocomplete="username"
        />
        <Password
          label={later.door.password}
          name="password"
          value={password}
          onInput={setPassword}
          error={faults.password}
          help={later.door.passwordHelp}
          autocomplete="new-password"
        />
        <Entry label={later.door.device} name="device" value={device} onInput={setDevice} error={faults.device} />
        {place.ios && !place.standalone && <p>{later.door.ios}</p>}
        <p class="quiet">{words.first.caution}</p>
        <div class={doorCss.doorways}>
          <a class="link" href="/sign-in">
            {later.door.setUp.toSignIn}
          </a>
        </div>
      </form>
    </Frame>
  );
}
