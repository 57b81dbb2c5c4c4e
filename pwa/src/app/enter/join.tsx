import { useState } from 'preact/hooks';
import { held, nameOf, placeOf } from '../admission.ts';
import { isWhole, tidyCode } from '../code.ts';
import { Frame } from '../frame.tsx';
import { Carry } from '../pair.tsx';
import { go } from '../router.ts';
import { journal } from '../state.ts';
import { later, words } from '../words.ts';
import { any, type Faults, nameFault, newPasswordFault, tidyName, useEntering } from './entering.ts';
import { CodeEntry, Entry, Password, Whole } from './fields.tsx';
import * as doorCss from './door.module.css';

/** An account made with an invitation; a link opened in Safari is first carried to the Home Screen app. */
export function Join() {
  return <ByInvitation key={held.value.code} />; // another link begins anew
}

function ByInvitation() {
  const place = placeOf();
  const [here, setHere] = useState(!(place.ios && !place.standalone && held.value.linked));
  if (here) return <JoinForm />;
  return (
    <Carry code={tidyCode(held.value.code)} title={later.door.join.title}>
      <button type="button" class="link" onClick={() => setHere(true)}>
        {later.door.join.here}
      </button>
    </Carry>
  );
}

function JoinForm() {
  const { faults, over, form, show, asking, send } = useEntering('join');
  const place = placeOf();
  const [code, setCode] = useState(tidyCode(held.value.code));
  const [name, setName] = useState('');
  const [password, setPassword] = useState('');
  const [device, setDevice] = useState<string>(words.pair.names[nameOf(place)]);
  const [admits, setAdmits] = useState('');
  const paired = journal.value?.paired;
  const submit = async () => {
    const wrong: Faults = {};
    if (!isWhole(code)) wrong.code = later.door.join.codeMissing;
    const atName = nameFault(name);
    if (atName !== null) wrong.name = atName;
    const atPassword = newPasswordFault(password);
    if (atPassword !== null) wrong.password = atPassword;
    if (any(wrong)) return show(wrong);
    const why = await send({ code, name: tidyName(name), password, device: tidyName(device) });
    setAdmits(why === 'not_invitation' ? code : '');
  };
  return (
    <Frame
      title={later.door.join.title}
      away="/"
      act={{ label: later.door.join.act, form: 'join', disabled: asking }}
      {...(paired ? { sub: later.door.already(paired.account) } : {})}
    >
      <form
        ref={form}
        id="join"
        class={`${doorCss.door} narrow`}
        noValidate
        onSubmit={(event) => {
          event.preventDefault();
          void submit();
        }}
      >
        <p>{later.door.join.what}</p>
        <p class="quiet">{later.door.join.reads}</p>
        <Whole error={faults['']} over={over} asking={asking} />
        <CodeEntry
          label={later.door.join.code}
          value={code}
          onInput={setCode}
          error={faults.code}
          help={later.door.join.codeHelp}
        />
        {admits !== '' && admits === code && (
          <button
            type="button"
            class="link"
            onClick={() => {
              held.value = { key: '', code, linked: false };
              go('/pair');
            }}
          >
            {later.door.join.toPair}
          </button>
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
            {later.door.join.toSignIn}
          </a>
        </div>
      </form>
    </Frame>
  );
}
