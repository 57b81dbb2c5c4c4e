import { useEffect, useState } from 'preact/hooks';
import type { ApiAnswer } from '../../../shared/messages.ts';
import { api } from '../../core-client.ts';
import { moment } from '../../format.ts';
import { Confirm } from '../../parts/confirm.tsx';
import { sync } from '../../state.ts';
import { words } from '../../words.ts';
import { AddDevice } from './add-device.tsx';

interface Device {
  id: string;
  name: string;
  seenMs: number;
  /** '' while it is let in. */
  end: string;
  here: boolean;
}

/** After these a device that was confirmed has most likely come in: it asks every two seconds. */
const comesMs = [1_000, 3_000, 6_000];

/** The account's devices as the server lists them; without an answer the list says so. */
export function Devices() {
  const [devices, setDevices] = useState<Device[] | 'asking' | 'none'>('asking');
  const [failed, setFailed] = useState(false);
  const ask = async (quiet = false) => {
    if (!quiet) setDevices('asking');
    setDevices(await api('GET', '/api/v1/auth/devices').then(devicesIn, () => 'none' as const));
  };
  useEffect(() => {
    void ask();
  }, [sync.value.online]);
  const remove = async (id: string) => {
    const answer = await api('POST', `/api/v1/auth/devices/${encodeURIComponent(id)}/revoke`, {}).catch(() => null);
    setFailed(answer?.status !== 200);
    await ask();
  };
  const removeOthers = async () => {
    const answer = await api('POST', '/api/v1/auth/devices/revoke-others', {}).catch(() => null);
    setFailed(answer?.status !== 200);
    await ask();
  };
  const others = Array.isArray(devices) ? devices.filter(({ here, end }) => !here && end === '').length : 0;
  return (
    <section class="part">
      <h2>{words.keeper.devices}</h2>
      {devices === 'none' && (
        <>
          <p class="quiet">{words.keeper.devicesOffline}</p>
          <button type="button" class="btn" onClick={() => void ask()}>
            {words.keeper.devicesAsk}
          </button>
        </>
      )}
      {failed && <p role="alert">{words.keeper.removeFailed}</p>}
      {Array.isArray(devices) && (
        <ul class="rows">
          {devices.map((device) => (
            <li key={device.id} class="device">
              <p>
                {device.name}
                <br />
                <span class="quiet">
                  {device.here
                    ? words.keeper.thisDevice
                    : device.end !== ''
                      ? words.keeper.ended(device.end)
                      : words.keeper.seen(moment(device.seenMs))}
                </span>
              </p>
              {!device.here && device.end === '' && (
                <Confirm
                  label={words.keeper.remove}
                  named={words.keeper.removeLabel(device.name)}
                  question={words.keeper.removeSure(device.name)}
                  yes={words.keeper.removeYes}
                  onYes={() => void remove(device.id)}
                />
              )}
            </li>
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
          label={words.adding.removeAll}
          question={words.adding.removeAllSure(others)}
          yes={words.adding.removeAllYes}
          onYes={() => void removeOthers()}
        />
      )}
    </section>
  );
}

/** The server's list, checked at the door. */
export function devicesIn({ status, body }: ApiAnswer): Device[] | 'none' {
  if (
    status !== 200 ||
    typeof body !== 'object' ||
    body === null ||
    !('devices' in body) ||
    !Array.isArray(body.devices)
  )
    return 'none';
  return body.devices.flatMap((it: unknown): Device[] => {
    if (typeof it !== 'object' || it === null) return [];
    const { id, name, last_seen_ms: seen, ended_ms: ended, end, this: here } = it as Record<string, unknown>;
    if (typeof id !== 'string' || typeof name !== 'string') return [];
    const over = typeof ended === 'number' && ended > 0;
    return [
      {
        id,
        name,
        seenMs: typeof seen === 'number' ? seen : 0,
        end: over ? (typeof end === 'string' && end !== '' ? end : 'ended') : '',
        here: here === true,
      },
    ];
  });
}
