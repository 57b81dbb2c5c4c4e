import { signal } from '@preact/signals';

const room = matchMedia('(min-width: 60rem)'); // as in the style sheets
const paper = matchMedia('print');

/** Room for two panes on the screen: the list stands beside what was chosen from it. Paper changes nothing of it. */
export const wide = signal(room.matches);

/** While the page is printed it is measured by the paper; the screen is as wide as before, and nothing mounts anew. */
const measure = () => {
  if (!paper.matches) wide.value = room.matches;
};
room.addEventListener('change', measure);
paper.addEventListener('change', measure);
