import type { ComponentChildren } from 'preact';
import { sync } from '../state.ts';
import { words } from '../words.ts';

/** What a room is for while nothing is in it; while the journal is still coming from the server, only that. */
export function Empty({ title, children }: { title: string; children: ComponentChildren }) {
  if (sync.value.state === 'catching_up') {
    return (
      <div class="empty" role="status">
        <p class="name">{words.catchingUp.title}</p>
        <p>{words.catchingUp.text}</p>
      </div>
    );
  }
  return (
    <div class="empty">
      <p class="name">{title}</p>
      {children}
    </div>
  );
}
