import { useState } from 'preact/hooks';
import type { Done, Id, PourRow, PourView } from '../../../shared/core.ts';
import { useAnswer } from '../../core-client.ts';
import { detailsOf, longDay, ml, percent, standardDrinks } from '../../format.ts';
import { newId } from '../../ids.ts';
import { BalancePanel } from '../../parts/balance.tsx';
import { Chips } from '../../parts/chips.tsx';
import { useDraft } from '../../parts/draft.ts';
import { Field, Select } from '../../parts/field.tsx';
import { ScoreStepper, ShareStepper } from '../../parts/glass-steps.tsx';
import { Lines } from '../../parts/lines.tsx';
import { pourVersion } from '../../parts/pour-row.tsx';
import { typedOf, usePlain } from '../../parts/plain-drink.tsx';
import { Once } from '../../parts/once.tsx';
import { save } from '../../parts/saved.tsx';
import { useSettled } from '../../parts/settled.ts';
import { Waiting } from '../../parts/waiting.tsx';
import { instantOf, type Moment, MomentFields, momentOf, wrongWith } from '../../parts/when.tsx';
import { hereZone, knownZone, read, wallOf } from '../../parts/zoned.ts';
import { go } from '../../router.ts';
import { later, words } from '../../words.ts';
import { tagChanges } from './tags.ts';
import * as bannerCss from '../../parts/banner.module.css';
import * as whyCss from '../../parts/why.module.css';
import * as css from './pour.module.css';

export const pourSub = (pour: PourRow): string =>
  [pourVersion(pour), longDay(pour.day), [pour.time, pour.utc].filter(Boolean).join(' ')].filter(Boolean).join(' · ');

/** One pour with its question; `named` where no header names it. */
export function PourById({ id, named }: { id: Id; named?: boolean }) {
  const { answer, slow, fault, refusal } = useAnswer({ q: 'pour', id });
  if (!answer) return refusal ? <p role="alert">{words.notThere}</p> : <Waiting slow={slow} fault={fault} />;
  return (
    <>
      {named && (
        <>
          <h2 class="name">{answer.pour.name}</h2>
          <p class="quiet">{pourSub(answer.pour)}</p>
          <PourBanners view={answer} />
        </>
      )}
      <PourDetail key={id} view={answer} />
    </>
  );
}

export function PourBanners({ view }: { view: PourView }) {
  const { pour, clashes } = view;
  return (
    <>
      {clashes.length > 0 && (
        <div class={`${bannerCss.banner} ${bannerCss.mind}`}>
          <p>
            <b>{later.pour.clash(clashes.length)}</b> {later.pour.clashWhy}
          </p>
          <a class="link" href={`/clash/${pour.id}`}>
            {later.pour.choose}
          </a>
        </div>
      )}
      {pour.deleted_changed && (
        <div class={`${bannerCss.banner} ${bannerCss.mind}`}>
          <p>
            <b>{later.pour.deletedTitle}</b> {later.pour.deletedWhy}
          </p>
          <div class="btns">
            <Once
              control={`restore ${pour.id}`}
              class="btn"
              act={() => save({ do: 'restore', id: pour.id }, later.pour.kept)}
            >
              {later.pour.keep}
            </Once>
            <Once control={`delete ${pour.id}`} class="btn" act={() => remove(pour)}>
              {later.pour.drop}
            </Once>
          </div>
        </div>
      )}
    </>
  );
}

async function remove(pour: PourRow): Promise<Done | null> {
  const undo = () => ({ do: 'restore' as const, id: pour.id });
  const done = await save({ do: 'delete', id: pour.id }, later.pour.deleted(pour.name), undo);
  if (done) go('/journal', true);
  return done;
}

export function PourDetail({ view }: { view: PourView }) {
  const { pour } = view;
  const edit = (set: Record<string, string | number | boolean | null>, text: string) =>
    save({ do: 'edit', id: pour.id, kind: 'pour', set }, text);
  const [shareBp, setShare] = useSettled(pour.share_bp, (value) => edit({ share_bp: value }, later.pour.shareSaved));
  const [scoreX10, setScore] = useSettled(pour.score_x10, (value) => edit({ score_x10: value }, later.pour.scoreSaved));
  const [tags, setTags] = useSettled<readonly string[]>(pour.tags, async (value) => {
    const set = tagChanges(pour.tags, value);
    if (Object.keys(set).length > 0) await edit(set, later.pour.tagsSaved);
  });
  return (
    <>
      <section class="part">
        <h2>{later.pour.inGlass}</h2>
        <p>{standardDrinks(pour.alcohol)}</p>
        <p class={`quiet ${css.glassful}`}>{inGlass(view)}</p>
        {view.lines.length > 0 && <Lines lines={view.lines} />}
        {!pour.plain && view.lines.length === 0 && <p class="quiet">{later.pour.noLines}</p>}
        {view.lines.length > 0 && <p class="quiet key">{later.pour.asWas}</p>}
      </section>

      <ScoreStepper x10={scoreX10} onChange={setScore} />

      <Note pour={pour} onSave={(note) => edit({ note: note === '' ? null : note }, later.pour.noteSaved)} />

      <section class="part">
        <h2>{words.sheet.flavour}</h2>
        <Chips terms={[...new Set([...tags, ...view.terms])]} chosen={tags} onChange={setTags} />
      </section>

      <ShareStepper bp={shareBp} onChange={setShare} />

      {view.balance && (
        <BalancePanel
          balance={view.balance}
          heading={view.balance.basis === 'measured' ? words.balance.measured : words.balance.heading}
        />
      )}

      <section class="part unprinted">
        <h2>{later.spec.more}</h2>
        <Moved
          key={`${pour.at_ms} ${view.offset_min}`}
          view={view}
          onSave={(set) =>
            save({ do: 'edit', id: pour.id, kind: 'pour', set }, later.pour.whenSaved, () => ({
              do: 'edit',
              id: pour.id,
              kind: 'pour',
              set: { at_ms: pour.at_ms, offset_min: view.offset_min, zone: view.zone === '' ? null : view.zone },
            }))
          }
        />
        <Select
          label={later.pour.session}
          value={view.mark}
          onChange={(mark) =>
            void save(
              { do: 'edit', id: pour.id, kind: 'pour', set: { join_mark: mark === '' ? null : mark } },
              later.pour.sessionSaved,
              () => ({
                do: 'edit',
                id: pour.id,
                kind: 'pour',
                set: { join_mark: view.mark === '' ? null : view.mark },
              }),
            )
          }
          options={(['', 'split', 'join'] as const).map((mark) => [mark, later.pour.sessionMark[mark]])}
          help={later.pour.sessionHelp}
        />
        {pour.plain && <What view={view} onSave={(set) => edit(set, words.saved)} />}
        <div class="btns">
          <Once
            control={`again ${pour.id}`}
            class="btn"
            act={() =>
              save({ do: 'again', id: newId(), pour: pour.id }, words.tonight.poured(pour.name), (done) => ({
                do: 'delete',
                id: done.made,
              }))
            }
          >
            {later.pour.again}
          </Once>
          {pour.spec && (
            <a class="btn" href={`/specs/${pour.spec}`}>
              {later.pour.openSpec}
            </a>
          )}
          <Once control={`delete ${pour.id}`} class="btn" act={() => remove(pour)}>
            {later.pour.delete}
          </Once>
        </div>
      </section>
    </>
  );
}

function inGlass({ pour, volume_ml, abv_percent, method }: PourView): string {
  const volume = volume_ml === null ? '' : pour.about ? words.about(ml(volume_ml)) : ml(volume_ml);
  const strength = abv_percent === null ? words.strengthUnknown : later.pour.strength(percent(abv_percent));
  return detailsOf([method && words.method(method), volume, strength]);
}

function Note({ pour, onSave }: { pour: PourRow; onSave: (note: string) => Promise<unknown> }) {
  const draft = useDraft<{ text: string | null }>(
    `pour.${pour.id}.note`,
    () => ({ text: null }), // untouched: what is saved shows, also when it changes elsewhere
    (kept) => (typeof kept === 'string' ? { text: kept } : null),
    (form) => form.text,
  );
  if (draft.value === null) return null;
  const text = draft.value.text ?? pour.note;
  return (
    <form
      class={`part ${css.noted}`}
      onSubmit={(event) => {
        event.preventDefault();
        void onSave(text.trim()).then((done) => {
          if (done) draft.drop();
        });
      }}
    >
      <Field
        label={words.sheet.note}
        rows={3}
        value={text}
        onInput={(typed) => draft.set({ text: typed })}
        placeholder={words.sheet.notePlaceholder}
      />
      {text.trim() !== pour.note && (
        <button type="submit" class="btn">
          {later.pour.noteSave}
        </button>
      )}
    </form>
  );
}

function Moved({
  view,
  onSave,
}: {
  view: PourView;
  onSave: (set: Record<string, string | number>) => Promise<unknown>;
}) {
  const { pour } = view;
  const zone = view.zone !== '' && knownZone(view.zone) ? view.zone : hereZone();
  const before = { at_ms: pour.at_ms, offset_min: view.offset_min };
  const [first] = useState<Moment>(() => ({
    ...momentOf(before, zone),
    second: read(wallOf(before), zone).is === 'two' && instantOf(momentOf(before, zone))?.at_ms !== pour.at_ms,
  }));
  const [moment, setMoment] = useState(first);
  const [bad, setBad] = useState<string | undefined>(undefined);
  return (
    <details class={whyCss.why}>
      <summary>{later.pour.whenChange}</summary>
      <form
        noValidate
        onSubmit={(event) => {
          event.preventDefault();
          if (moment === first) return; // nothing was typed, so nothing moves
          const wrong = wrongWith(moment);
          const at = instantOf(moment);
          if (wrong || !at) return setBad(wrong ?? words.when.bad);
          setBad(undefined);
          void onSave({ ...at, zone: moment.zone });
        }}
      >
        <MomentFields label={words.sheet.earlierField} value={moment} onChange={setMoment} error={bad} />
        <div class="btns">
          <button type="submit" class="btn">
            {words.save}
          </button>
        </div>
      </form>
    </details>
  );
}

/** A plain drink's own figures; an empty strength is unknown, never nought. */
function What({
  view,
  onSave,
}: {
  view: PourView;
  onSave: (set: Record<string, string | number | null>) => Promise<unknown>;
}) {
  const { fields, read: readTyped } = usePlain(typedOf(view.pour.name, view.volume_ml, view.abv_percent));
  return (
    <details class={whyCss.why} open={view.abv_percent === null}>
      <summary>{later.pour.whatChange}</summary>
      <form
        noValidate
        onSubmit={(event) => {
          event.preventDefault();
          const plain = readTyped();
          if (plain !== null) void onSave({ ...plain });
        }}
      >
        {fields}
        <div class="btns">
          <button type="submit" class="btn">
            {words.save}
          </button>
        </div>
      </form>
    </details>
  );
}
