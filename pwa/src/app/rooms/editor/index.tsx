import { Frame } from '../../frame.tsx';

export function SpecEditor() {
  return <Frame title="Spec"><p class="quiet">Not drawn yet.</p></Frame>;
}
