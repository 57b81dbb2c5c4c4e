import { Frame } from './frame.tsx';

export function Pair() {
  return <Frame title="Pair this device"><p class="quiet">Not drawn yet.</p></Frame>;
}
