import { Frame } from '../../frame.tsx';

export function Clash() {
  return <Frame title="Two values"><p class="quiet">Not drawn yet.</p></Frame>;
}
