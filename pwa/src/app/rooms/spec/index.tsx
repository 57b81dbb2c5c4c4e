import { Frame } from '../../frame.tsx';

export function Spec() {
  return <Frame title="Spec"><p class="quiet">Not drawn yet.</p></Frame>;
}
