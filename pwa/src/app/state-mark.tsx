import type { SyncState } from '../shared/core.ts';
import { words } from './words.ts';
import * as toneCss from './parts/tone.module.css';
import * as stateMarkCss from './state-mark.module.css';

type Shape = 'open' | 'full' | 'strokes' | 'offset' | 'triangle';

/** State is always a shape and a word: open ring offline, full ring synced, two strokes not yet sent, triangle look here. */
export function StateMark({ state }: { state: SyncState }) {
  const { shape, word, tone } = say(state);
  return (
    <span class={tone === '' ? stateMarkCss.state : `${stateMarkCss.state} ${tone}`} data-testid="state">
      <Mark shape={shape} />
      {word}
    </span>
  );
}

function say(state: SyncState): { shape: Shape; word: string; tone: string } {
  if (state.state === 'stopped') return { shape: 'triangle', word: words.state.stopped, tone: toneCss.look };
  if (!state.online && state.state !== 'local') return { shape: 'open', word: words.state.offline, tone: '' };
  if (state.state === 'synced') return { shape: 'full', word: words.state.synced, tone: stateMarkCss.counted };
  if (state.state === 'unsent') return { shape: 'strokes', word: words.unsentShort(state.unsent), tone: '' };
  if (state.state === 'local') return { shape: 'open', word: words.state.local, tone: '' };
  if (state.code !== null && state.state === 'asking')
    return { shape: 'triangle', word: words.state.refused, tone: 'look' };
  return { shape: 'open', word: words.state[state.state], tone: '' };
}

export function Mark({ shape }: { shape: Shape }) {
  switch (shape) {
    case 'open':
      return (
        <svg width="12" height="12" viewBox="0 0 12 12" aria-hidden="true">
          <path class={stateMarkCss.mLine} d="M2.6 2.6a4.8 4.8 0 1 0 6.8 0" />
        </svg>
      );
    case 'full':
      return (
        <svg width="12" height="12" viewBox="0 0 12 12" aria-hidden="true">
          <circle class={stateMarkCss.mFill} cx="6" cy="6" r="5" />
        </svg>
      );
    case 'strokes':
      return (
        <svg width="12" height="12" viewBox="0 0 12 12" aria-hidden="true">
          <path class={stateMarkCss.mLine} d="M3 1v10M8 1v10" />
        </svg>
      );
    case 'offset':
      return (
        <svg width="14" height="14" viewBox="0 0 14 14" aria-hidden="true">
          <path class={stateMarkCss.mLine} d="M1 4h9M4 10h9" />
        </svg>
      );
    case 'triangle':
      return (
        <svg width="14" height="14" viewBox="0 0 14 14" aria-hidden="true">
          <path class={stateMarkCss.mFill} d="M7 1 13 13H1z" />
        </svg>
      );
  }
}
