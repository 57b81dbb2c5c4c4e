import { useEffect, useState } from 'preact/hooks';
import { files } from '../../core-client.ts';
import { moment } from '../../format.ts';
import { Frame } from '../../frame.tsx';
import { journal, sync } from '../../state.ts';
import { later, words } from '../../words.ts';
import { EraseHere } from './erase-here.tsx';
import { fileName, sizeOf } from './files.ts';
import { useHeld } from '../../parts/held.tsx';
import { isGone } from '../../parts/signed-in.ts';

interface Made {
  /** Each with its address in this page. */
  files: { file: File; at: string }[];
  when: number;
}

/** The page a stopped device is sent to. It asks the core nothing but the file. */
export function Export() {
  return (
    <Frame title={words.exporting.title} away="/keeper">
      <div class="narrow">
        <TakeAlong />
        {isGone() && <EraseHere />}
      </div>
    </Frame>
  );
}

/**
 * Everything as a file. It is made first and handed over by a second tap: a share sheet opens only straight from one.
 */
export function TakeAlong({ title }: { title?: string }) {
  const [made, setMade] = useState<Made | 'making' | 'failed' | null>(null);
  const apart = journal.value?.apart ?? 0;
  const found = useHeld();
  const others = Array.isArray(found) ? found.filter((it) => it.standing !== 'open' && it.standing !== 'apart') : [];
  const { unreadable } = sync.value;
  const ready = made !== null && typeof made === 'object' ? made : null;
  useEffect(() => () => ready?.files.forEach(({ at }) => URL.revokeObjectURL(at)), [ready]);
  const make = async () => {
    setMade('making');
    try {
      const when = Date.now();
      const named = (await files()).map(
        (blob, i) => new File([blob], fileName(new Date(when), i), { type: blob.type }),
      );
      setMade({ files: named.map((file) => ({ file, at: URL.createObjectURL(file) })), when });
    } catch {
      setMade('failed');
    }
  };
  return (
    <section class={title === undefined ? 'part first' : 'part'}>
      {title !== undefined && <h2>{title}</h2>}
      <p>{later.exporting.what}</p>
      {apart > 0 && <p>{later.exporting.apart(apart)}</p>}
      {others.length > 0 && <p>{later.exporting.others(others.length)}</p>}
      {unreadable > 0 && <p>{words.unreadable(unreadable)}</p>}
      <p class="quiet">{later.exporting.plain}</p>
      <div role="status">
        {made === 'making' && <p>{later.exporting.making}</p>}
        {ready && <p>{later.exporting.ready(moment(ready.when))}</p>}
      </div>
      {made === 'failed' && <p role="alert">{later.exporting.failed}</p>}
      <div class="btns">
        {ready && canShare(ready) && (
          <button type="button" class="btn strong" onClick={() => void share(ready)}>
            {later.exporting.share}
          </button>
        )}
        {ready?.files.map(({ file, at }) => (
          <a key={file.name} class="btn" href={at} download={file.name}>
            {later.exporting.save(file.name, sizeOf(file.size))}
          </a>
        ))}
        <button type="button" class="btn" disabled={made === 'making'} onClick={() => void make()}>
          {ready ? later.exporting.fresh : later.exporting.make}
        </button>
      </div>
    </section>
  );
}

function canShare({ files }: Made): boolean {
  return 'canShare' in navigator && navigator.canShare({ files: files.map(({ file }) => file) });
}

async function share({ files }: Made): Promise<void> {
  try {
    await navigator.share({ files: files.map(({ file }) => file) });
  } catch {
    // put away by the person, or the system would not: the link beside it saves the file
  }
}
