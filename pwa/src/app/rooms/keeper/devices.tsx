import { useEffect, useRef, useState } from 'preact/hooks';
import { me } from '../../core-client.ts';
import { moment } from '../../format.ts';
import { Confirm } from '../../parts/confirm.tsx';
import { Mark } from '../../state-mark.tsx';
import { sync } from '../../state.ts';
import { later, words } from '../../words.ts';
import { AddDevice } from './add-device.tsx';
import { get, problemIn, send } from '../../parts/answer.ts';
import { type Device, devicesIn } from '../../parts/device.ts';
import * as alertCss from '../../parts/alert.module.css';
import * as fieldCss from '../../parts/field.module.css';
import * as toneCss from '../../parts/tone.module.css';
import * as css from './style.module.css';
import * as stateMarkCss from '../../state-mark.module.css';

/** After these a device that was confirmed has most likely come in: it asks every two seconds. */
const comesMs = [1_000, 3_000, 6_000];

/** The account's devices as the server lists them; without an answer the list says so. */
export function Devices() {
  const [devices, setDevices] = useState<Device[] | 'asking' | 'none'>('asking');
  const [failed, setFailed] = useState(false);
  const ask = async (quiet = false) => {
    if (!quiet) setDevices('asking');
    setDevices(devicesIn(await get('/api/v1/auth/devices')));
  };
  useEffect(() => {
    void ask();
  }, [sync.value.online]);
  /** Whether the server did it. */
  const remove = async (path: string): Promise<boolean> => {
    const done = (await send(path, {})).status === 200;
    setFailed(!done);
    await ask();
    return done;
  };
  const list = Array.isArray(devices) ? devices : [];
  const others = list.filter(({ here, end }) => !here && end === '').length;
  return (
    <section class="part">
      <h2>{later.keeper.devices}</h2>
      {devices === 'none' && (
        <>
          <p class="quiet">{later.keeper.devicesOffline}</p>
          <button type="button" class="btn" onClick={() => void ask()}>
            {later.keeper.devicesAsk}
          </button>
        </>
      )}
      {failed && <p role="alert">{later.keeper.removeFailed}</p>}
      {Array.isArray(devices) && (
        <ul class="rows">
          {[...list.filter(({ end }) => end === ''), ...list.filter(({ end }) => end !== '')].map((device) => (
            <Row
              key={device.id}
              device={device}
              onRemove={() => remove(`/api/v1/auth/devices/${encodeURIComponent(device.id)}/revoke`)}
              onNamed={() => void ask(true)}
            />
          ))}
        </ul>
      )}
      {Array.isArray(devices) && (
        <AddDevice
          onChange={() => {
            for (const ms of comesMs) setTimeout(() => void ask(true), ms);
          }}
        />
      )}
      {others > 0 && (
        <Confirm
          label={later.adding.removeAll}
          question={later.adding.removeAllSure(others)}
          yes={later.adding.removeAllYes}
          onYes={() => remove('/api/v1/auth/devices/revoke-others')}
        />
      )}
    </section>
  );
}

function Row({ device, onRemove, onNamed }: { device: Device; onRemove: () => Promise<boolean>; onNamed: () => void }) {
  const [naming, setNaming] = useState(false);
  const button = useRef<HTMLButtonElement>(null);
  const living = device.end === '';
  const shut = device.end === 'reused';
  const close = () => {
    setNaming(false);
    requestAnimationFrame(() => button.current?.focus());
  };
  return (
    <li class={css.device} data-testid="device">
      <div>
        <p>{device.name}</p>
        {shut ? (
          <p class={`${stateMarkCss.state} ${toneCss.look}`}>
            <Mark shape="triangle" />
            {later.account.shut}
          </p>
        ) : (
          <p class="quiet">
            {living
              ? device.here
                ? later.keeper.thisDevice
                : later.keeper.seen(moment(device.seenMs))
              : later.keeper.ended(device.end)}
          </p>
        )}
        <p class="quiet">
          {[
            living && device.address !== '' && later.account.from(device.address),
            living && device.createdMs > 0 && later.account.added(moment(device.createdMs)),
            !living && device.endedMs > 0 && moment(device.endedMs),
          ]
            .filter((it) => it !== false)
            .join(' · ')}
        </p>
        {shut && <p>{later.account.shutMeans}</p>}
      </div>
      {living && naming && (
        <Rename
          device={device}
          onClose={close}
          onNamed={() => {
            close();
            onNamed();
          }}
        />
      )}
      {living && !naming && (
        <div class="btns">
          <button
            ref={button}
            type="button"
            class="btn"
            aria-label={later.account.renameLabel(device.name)}
            onClick={() => setNaming(true)}
          >
            {later.account.rename}
          </button>
          {!device.here && (
            <Confirm
              label={later.keeper.remove}
              named={later.keeper.removeLabel(device.name)}
              question={later.keeper.removeSure(device.name)}
              yes={later.keeper.removeYes}
              onYes={onRemove}
            />
          )}
        </div>
      )}
    </li>
  );
}

function Rename({ device, onClose, onNamed }: { device: Device; onClose: () => void; onNamed: () => void }) {
  const [name, setName] = useState(device.name);
  const [wrong, setWrong] = useState<string | null>(null);
  const field = useRef<HTMLInputElement>(null);
  const id = `name-${device.id}`;
  useEffect(() => field.current?.select(), []);
  const rename = async () => {
    if (name.trim() === '') return setWrong(later.account.renameBad);
    const answer = await send(`/api/v1/auth/devices/${encodeURIComponent(device.id)}/name`, {
      name: name.trim().normalize('NFC'),
    });
    if (answer.status !== 200)
      return setWrong(problemIn(answer) === 'name' ? later.account.renameBad : later.account.renameFailed);
    if (device.here) await me().catch(() => undefined); // the name stands under Syncing too
    onNamed();
  };
  return (
    <form
      class={css.naming}
      noValidate
      onSubmit={(event) => {
        event.preventDefault();
        void rename();
      }}
    >
      <div class={fieldCss.field} data-bad={wrong ? '' : undefined}>
        <label for={id}>{later.account.name}</label>
        <input
          ref={field}
          id={id}
          value={name}
          maxLength={60}
          autocomplete="off"
          aria-invalid={wrong ? 'true' : undefined}
          aria-describedby={wrong ? `${id}-e` : undefined}
          onInput={(event) => setName(event.currentTarget.value)}
        />
        {wrong && (
          <p class={alertCss.err} id={`${id}-e`} role="alert">
            <Mark shape="triangle" />
            <span>{wrong}</span>
          </p>
        )}
      </div>
      <div class="btns">
        <button type="button" class="btn" onClick={onClose}>
          {words.leaveIt}
        </button>
        <button type="submit" class="btn strong">
          {words.save}
        </button>
      </div>
    </form>
  );
}
