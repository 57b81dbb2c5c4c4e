import { Frame } from '../../frame.tsx';

export function Bottles() {
  return <Frame title="Bottles"><p class="quiet">Not drawn yet.</p></Frame>;
}
