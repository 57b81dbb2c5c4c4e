import { Frame } from '../../frame.tsx';

export function Pour() {
  return <Frame title="Pour"><p class="quiet">Not drawn yet.</p></Frame>;
}
