import { Frame } from '../../frame.tsx';

export function Side() {
  return <Frame title="Side by side"><p class="quiet">Not drawn yet.</p></Frame>;
}
