import { useState } from 'preact/hooks';
import type { SpecView, WayLine } from '../../../shared/core.ts';
import { newId } from '../../ids.ts';
import { save } from '../../parts/saved.tsx';
import { go } from '../../router.ts';
import { later } from '../../words.ts';
import { riffOf } from './otherwise.ts';

/** Makes the riff and goes there. Nothing is saved before. `what` tells one of several such buttons from the others. */
export function SaveRiff({ view, lines, what }: { view: SpecView; lines: readonly WayLine[]; what: string }) {
  const [id] = useState(newId); // one riff, however often the button is tapped
  const [busy, setBusy] = useState(false);
  return (
    <div class="btns">
      <button
        type="button"
        class="btn"
        aria-label={later.otherwise.saveWhat(what)}
        disabled={busy}
        onClick={async () => {
          setBusy(true);
          const done = await save(riffOf(view, id, lines), later.otherwise.saved, (it) => ({
            do: 'delete',
            id: it.made,
          }));
          setBusy(false);
          if (done) go(`/specs/${done.made}`);
        }}
      >
        {later.otherwise.save}
      </button>
    </div>
  );
}
