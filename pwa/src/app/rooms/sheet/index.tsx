import { Frame } from '../../frame.tsx';

export function PourSheet() {
  return <Frame title="Pour"><p class="quiet">Not drawn yet.</p></Frame>;
}
