import { Frame } from '../../frame.tsx';

export function Specs() {
  return <Frame title="Specs"><p class="quiet">Not drawn yet.</p></Frame>;
}
