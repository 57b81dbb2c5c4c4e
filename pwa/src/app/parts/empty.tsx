import type { ComponentChildren } from 'preact';
import { sync } from '../state.ts';
import { words } from '../words.ts';
import * as emptyCss from './empty.module.css';

/** What a room is for while nothing is in it; while the journal is still coming from the server, only that. */
export function Empty({ title, children }: { title: string; children: ComponentChildren }) {
  if (sync.value.state === 'catching_up') {
    return (
      <div class={emptyCss.empty} role="status">
        <p class="name">{words.catchingUp.title}</p>
        <p>{sync.value.online ? words.catchingUp.text : words.catchingUp.offline}</p>
      </div>
    );
  }
  return (
    <div class={emptyCss.empty}>
      <p class="name">{title}</p>
      {children}
    </div>
  );
}
