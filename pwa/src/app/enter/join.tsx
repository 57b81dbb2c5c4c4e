import { useState } from 'preact/hooks';
import { held, nameOf, placeOf } from '../admission.ts';
import { isWhole, tidyCode } from '../code.ts';
import { Frame } from '../frame.tsx';
import { Carry } from '../pair.tsx';
import { go } from '../router.ts';
import { journal } from '../state.ts';
import { words } from '../words.ts';
import { any, type Faults, nameFault, newPasswordFault, tidyName, useEntering } from './entering.ts';
import { CodeEntry, Entry, Password, Whole } from './fields.tsx';

/** An account made with an invitation; a link opened in Safari is first carried to the Home Screen app. */
export function Join() {
  return <ByInvitation key={held.value.code} />; // another link begins anew
}

function ByInvitation() {
  const place = placeOf();
  const [here, setHere] = useState(!(place.ios && !place.standalone && held.value.linked));
  if (here) return <JoinForm />;
  return (
    <Carry code={tidyCode(held.value.code)} title={words.door.join.title}>
      <button type="button" class="link" onClick={() => setHere(true)}>
        {words.door.join.here}
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
    if (!isWhole(code)) wrong.code = words.door.join.codeMissing;
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
      title={words.door.join.title}
      away="/"
      act={{ label: words.door.join.act, form: 'join', disabled: asking }}
      {...(paired ? { sub: words.door.already(paired.account) } : {})}
    >
      <form
        ref={form}
        id="join"
        class="door narrow"
        noValidate
        onSubmit={(event) => {
          event.preventDefault();
          void submit();
        }}
      >
        <p>{words.door.join.what}</p>
        <p class="quiet">{words.door.join.reads}</p>
        <Whole error={faults['']} over={over} asking={asking} />
        <CodeEntry
          label={words.door.join.code}
          value={code}
          onInput={setCode}
          error={faults.code}
          help={words.door.join.codeHelp}
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
            {words.door.join.toPair}
          </button>
        )}
        <Entry
          label={words.door.account}
          name="username"
          value={name}
          onInput={setName}
          error={faults.name}
          help={words.door.accountHelp}
          autocomplete="username"
        />
        <Password
          label={words.door.password}
          name="password"
          value={password}
          onInput={setPassword}
          error={faults.password}
          help={words.door.passwordHelp}
          autocomplete="new-password"
        />
        <Entry label={words.door.device} name="device" value={device} onInput={setDevice} error={faults.device} />
        {place.ios && !place.standalone && <p>{words.door.ios}</p>}
        <p class="quiet">{words.first.caution}</p>
        <div class="ways">
          <a class="link" href="/sign-in">
            {words.door.join.toSignIn}
          </a>
        </div>
      </form>
    </Frame>
  );
}
