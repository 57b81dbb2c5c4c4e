import { useAnswer } from '../../core-client.ts';
import { Frame } from '../../frame.tsx';
import { later } from '../../words.ts';
import * as cautionsCss from '../../parts/cautions.module.css';
import * as css from './style.module.css';

/** Signs of an emergency, and kinds of help; of numbers only those that were found on official pages. */
export function Help() {
  const { answer } = useAnswer({ q: 'keeper' });
  const it = later.helping;
  const lines = answer ? it.lines[answer.settings.country] : undefined;
  return (
    <Frame title={it.title} away="/week">
      <div class={`narrow ${css.helping}`}>
        {(
          [
            [it.emergency, it.emergencyText],
            [it.stopping, it.stoppingText],
            [it.none, it.noneText],
            [it.nothing, it.nothingText],
          ] as const
        ).map(([title, texts], i) => (
          <section key={title} class={i === 0 ? 'part first' : 'part'}>
            <h2>{title}</h2>
            {texts.map((text) => (
              <p key={text}>{text}</p>
            ))}
          </section>
        ))}
        <section class="part">
          <h2>{it.kinds}</h2>
          <ul class={cautionsCss.cautions}>
            {it.kindList.map((text) => (
              <li key={text}>{text}</li>
            ))}
          </ul>
        </section>
        {answer && (
          <section class="part">
            <h2>{it.numbers}</h2>
            {lines ? lines.map((text) => <p key={text}>{text}</p>) : <p>{it.noLine}</p>}
            {lines && <p class="quiet">{it.checked}</p>}
          </section>
        )}
      </div>
    </Frame>
  );
}
