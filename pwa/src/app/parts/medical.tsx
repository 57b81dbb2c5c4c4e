import { words } from '../words.ts';

/** Where totals are high, first of all: that stopping suddenly can be dangerous. Never a word on how long or how little. */
export function Medical() {
  return (
    <section class="caution first">
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
