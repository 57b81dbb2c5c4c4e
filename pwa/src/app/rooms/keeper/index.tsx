import { Frame } from '../../frame.tsx';

export function Keeper() {
  return <Frame title="Keeper"><p class="quiet">Not drawn yet.</p></Frame>;
}
