import { signal } from '@preact/signals';

const query = matchMedia('(min-width: 60rem)'); // as in parts.css

/** Room for two panes: the list stands beside what was chosen from it. */
export const wide = signal(query.matches);
query.addEventListener('change', () => {
  wide.value = query.matches;
});
