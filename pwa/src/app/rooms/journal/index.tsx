import { Frame } from '../../frame.tsx';

export function Journal() {
  return <Frame title="Journal"><p class="quiet">Not drawn yet.</p></Frame>;
}
