import { useState } from 'preact/hooks';
import type { Brought } from '../../../shared/messages.ts';
import { bringFile } from '../../core-client.ts';
import { decimal } from '../../format.ts';
import { Frame } from '../../frame.tsx';
import { Mark } from '../../state-mark.tsx';
import { bringing, journal } from '../../state.ts';
import { later } from '../../words.ts';
import { whyOf } from './files.ts';
import * as alertCss from '../../parts/alert.module.css';
import * as fieldCss from '../../parts/field.module.css';
import * as css from './style.module.css';

type At = { at: 'rest' } | { at: 'going' } | { at: 'done'; brought: Brought } | { at: 'stopped'; why: string };

/** Entries of an exported file come into the open journal. */
export function BringFile() {
  const [file, setFile] = useState<File | null>(null);
  const [it, setIt] = useState<At>({ at: 'rest' });
  const going = it.at === 'going';
  const wrong = it.at === 'stopped' ? it.why : null;
  const go = async () => {
    if (!file) return;
    setIt({ at: 'going' });
    try {
      await file.slice(0, 1).arrayBuffer();
    } catch {
      return setIt({ at: 'stopped', why: later.bringingFile.refused.unreadable ?? '' }); // moved since it was chosen
    }
    try {
      setIt({ at: 'done', brought: await bringFile(file) });
    } catch (error) {
      setIt({ at: 'stopped', why: whyOf(error) });
    }
  };
  return (
    <Frame
      title={later.bringingFile.title}
      away="/keeper"
      act={{ label: later.bringingFile.act, form: 'bring-file', disabled: file === null || going || !journal.value }}
    >
      <form
        class="narrow"
        id="bring-file"
        noValidate
        onSubmit={(event) => {
          event.preventDefault();
          void go();
        }}
      >
        <p>{later.bringingFile.what}</p>
        <p class="quiet">{later.bringingFile.apart}</p>
        <div class={fieldCss.field} data-bad={wrong ? '' : undefined}>
          <label for="file">{later.bringingFile.choose}</label>
          <input
            id="file"
            type="file"
            accept=".json,application/json"
            disabled={going}
            aria-invalid={wrong ? 'true' : undefined}
            aria-describedby={wrong ? 'file-e' : undefined}
            onChange={(event) => {
              setFile(event.currentTarget.files?.[0] ?? null);
              setIt({ at: 'rest' });
            }}
          />
          {wrong && (
            <p class={alertCss.err} id="file-e" role="alert">
              <Mark shape="triangle" />
              <span>{wrong}</span>
            </p>
          )}
        </div>
        {going && <Progress />}
        {it.at === 'done' && <Result {...it.brought} />}
      </form>
    </Frame>
  );
}

function Progress() {
  const now = bringing.value;
  return (
    <div>
      <p role="status">{later.bringingFile.stay}</p>
      {now ? (
        <p class="quiet">
          <progress class={css.bar} aria-label={later.bringingFile.level} max={now.total} value={now.done} />
          {later.bringingFile.progress(decimal(now.done, 0), decimal(now.total, 0))}
        </p>
      ) : (
        <p class="quiet">{later.bringingFile.reading}</p>
      )}
    </div>
  );
}

function Result({ brought, not_brought: not }: Brought) {
  return (
    <div role="status">
      {brought > 0 && <p>{later.bringingFile.brought(decimal(brought, 0), brought === 1)}</p>}
      {brought === 0 && not === 0 && <p>{later.bringingFile.nothing}</p>}
      {not > 0 && <p>{later.bringingFile.notBrought(not)}</p>}
      <p>
        <a class="link" href="/journal">
          {later.bringingFile.toJournal}
        </a>
      </p>
    </div>
  );
}
