import { useAnswer } from '../../core-client.ts';
import { decimal, percent } from '../../format.ts';
import { Frame } from '../../frame.tsx';
import { Empty } from '../../parts/empty.tsx';
import { Waiting } from '../../parts/waiting.tsx';
import { later, words } from '../../words.ts';
import * as beforeAfterCss from '../../parts/before-after.module.css';
import * as linedCss from '../../parts/lined.module.css';
import * as css from './style.module.css';

/** /keeper/calibration: how wet the owner's own drinks come out, and how to weigh one. */
export function Calibration() {
  const { answer, slow, fault } = useAnswer({ q: 'calibration' });
  return (
    <Frame title={later.calibration.title} away="/keeper">
      <div class="narrow">
        {!answer ? (
          <Waiting slow={slow} fault={fault} />
        ) : answer.rows.length === 0 ? (
          <Empty title={later.calibration.emptyTitle}>
            <p>{later.calibration.empty}</p>
          </Empty>
        ) : (
          <section class="part first">
            <h2>{later.calibration.table}</h2>
            <p>{later.calibration.what}</p>
            <table class={`${beforeAfterCss.beforeafter} ${css.calib}`}>
              <caption class="unseen">{later.calibration.table}</caption>
              <thead>
                <tr>
                  <th scope="col">{later.calibration.method}</th>
                  <th scope="col" class="n">
                    {later.calibration.drinks}
                  </th>
                  <th scope="col" class="n">
                    {later.calibration.percent}
                  </th>
                </tr>
              </thead>
              <tbody>
                {answer.rows.map((row) => (
                  <tr key={`${row.method} ${row.ice}`}>
                    <th scope="row">
                      {words.method(row.method)}, {row.ice || later.calibration.anyIce}
                    </th>
                    <td class="n">{decimal(row.drinks, 0)}</td>
                    <td class="n">
                      {percent(row.percent, 0)}
                      <span class={`quiet ${linedCss.lined}`}>{`${decimal(row.lo, 0)}–${decimal(row.hi, 0)}`}</span>
                      <span class={`quiet ${linedCss.lined}`}>
                        {later.calibration.seen(percent(row.seen_percent, 0))}
                      </span>
                    </td>
                  </tr>
                ))}
              </tbody>
            </table>
            <p class="quiet key">{later.calibration.shrunk}</p>
            <p class="quiet">{later.calibration.uses}</p>
          </section>
        )}
        {answer && (
          <section class="part">
            <h2>{later.calibration.how}</h2>
            <ol class={css.howto}>
              {later.calibration.steps.map((text) => (
                <li key={text}>{text}</li>
              ))}
            </ol>
            <p>
              <a class="link" href="/journal">
                {later.calibration.toPour}
              </a>
            </p>
          </section>
        )}
      </div>
    </Frame>
  );
}
