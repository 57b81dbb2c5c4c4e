import { Frame } from '../../frame.tsx';

export function Week() {
  return <Frame title="Week"><p class="quiet">Not drawn yet.</p></Frame>;
}
