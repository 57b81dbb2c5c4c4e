import { words } from '../words.ts';
import * as medicalCss from './medical.module.css';

/** Where totals are high, first of all: that stopping suddenly can be dangerous. Never a word on how long or how little. */
export function Medical() {
  return (
    <section class={`${medicalCss.caution} ${medicalCss.top}`}>
      <h2>{words.medical.title}</h2>
      <p>{words.medical.stop}</p>
      <p>
        <a class="link" href="/week/help">
          {words.medical.more}
        </a>
      </p>
    </section>
  );
}
