import type { Clash as Rivals } from '../../../shared/core.ts';
import { useAnswer } from '../../core-client.ts';
import { decimal, moment, withDates } from '../../format.ts';
import { Frame } from '../../frame.tsx';
import { save } from '../../parts/saved.tsx';
import { Waiting } from '../../parts/waiting.tsx';
import type { Params } from '../../router.ts';
import { later, words } from '../../words.ts';
import { effectsOf } from './effects.ts';
import { valueText } from './value.ts';
import * as bannerCss from '../../parts/banner.module.css';
import * as emptyCss from '../../parts/empty.module.css';
import * as noteCss from '../../parts/note.module.css';
import * as toneCss from '../../parts/tone.module.css';
import * as css from './style.module.css';

/** Values that two devices gave one field while apart: both are kept, one shows, the person chooses when they like. */
export function Clash({ params }: { params: Params }) {
  const id = params.id ?? '';
  const { answer, slow, fault, refusal } = useAnswer({ q: 'clash', id });
  const clashes = answer?.clashes ?? [];
  return (
    <Frame
      title={later.clash.title}
      away="/keeper"
      {...(clashes.length > 0 ? { sub: later.clash.sub(clashes.length) } : {})}
      {...(clashes.length > 0
        ? {
            banner: (
              <div class={bannerCss.banner}>
                <p>
                  <b>{later.clash.calm}</b> {later.clash.calmWhy}
                </p>
              </div>
            ),
          }
        : {})}
    >
      <div class="narrow">
        {!answer ? (
          refusal ? (
            <p role="alert">{words.notThere}</p>
          ) : (
            <Waiting slow={slow} fault={fault} />
          )
        ) : clashes.length === 0 ? (
          <div class={emptyCss.empty}>
            <p class="name">{later.clash.none}</p>
          </div>
        ) : (
          clashes.map((clash) => <Choice key={`${clash.id} ${clash.field}`} clash={clash} />)
        )}
      </div>
    </Frame>
  );
}

function Choice({ clash }: { clash: Rivals }) {
  const choose = (stamp: string) => save({ do: 'choose', id: clash.id, field: clash.field, stamp }, later.clash.chosen);
  const prose = clash.joinable;
  const heading =
    clash.kind === 'set'
      ? later.clash.field('set', clash.title)
      : later.clash.heading(withDates(clash.title), later.clash.field(clash.kind, clash.field));
  const effects = effectsOf(clash);
  return (
    <section class="part">
      <h2>{heading}</h2>
      <ul class={css.vals}>
        {clash.values.map((value) => {
          const text = valueText(clash.field, value.text);
          return (
            <li key={value.stamp} class={value.shown ? `${css.val} ${css.shown}` : css.val}>
              <div>
                {prose ? (
                  <p class={noteCss.note}>{text === '' ? later.clash.cleared : later.clash.quote(text)}</p>
                ) : (
                  <p class={text.length > 12 ? css.v1 : css.v2}>{text === '' ? later.clash.cleared : text}</p>
                )}
                <p class="quiet">
                  {value.device || later.clash.thisDevice} · {moment(value.at_ms)}
                  {value.shown && (
                    <>
                      {' · '}
                      <b class={toneCss.plain}>{later.clash.shown}</b>
                    </>
                  )}
                </p>
              </div>
              {!prose && (
                <button
                  type="button"
                  class="btn"
                  aria-label={later.clash.chooseLabel(text || later.clash.cleared)}
                  onClick={() => void choose(value.stamp)}
                >
                  {later.clash.choose}
                </button>
              )}
            </li>
          );
        })}
      </ul>
      {effects.acid && <p class="quiet key">{later.clash.acid(effects.acid)}</p>}
      {effects.alcohol && <p class="quiet key">{later.clash.alcoholIs(effects.alcohol)}</p>}
      {effects.same !== null && (
        <p class="quiet key">{later.clash.alcoholSame(words.gramsOf(decimal(effects.same, 0)))}</p>
      )}
      {prose && (
        <div class={css.pairbtn}>
          <button
            type="button"
            class={`btn strong ${css.wide}`}
            onClick={() => void save({ do: 'keep_both', id: clash.id, field: clash.field }, later.clash.keptBoth)}
          >
            {clash.field === 'note' ? later.clash.bothNotes : later.clash.both}
          </button>
          {clash.values.map((value, i) => (
            <button key={value.stamp} type="button" class="btn" onClick={() => void choose(value.stamp)}>
              {i === 0 ? later.clash.onlyFirst : i === 1 ? later.clash.onlySecond : later.clash.only(i + 1)}
            </button>
          ))}
        </div>
      )}
    </section>
  );
}
