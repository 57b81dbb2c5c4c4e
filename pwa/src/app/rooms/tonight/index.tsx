import { Frame } from '../../frame.tsx';

export function Tonight() {
  return <Frame title="Tonight"><p class="quiet">Not drawn yet.</p></Frame>;
}
