import type { ComponentChildren } from 'preact';
import { useState } from 'preact/hooks';
import type { BottlesAnswer, Id } from '../../../shared/core.ts';
import { useAnswer } from '../../core-client.ts';
import { detailsOf, percent, tight } from '../../format.ts';
import { Field } from '../../parts/field.tsx';
import { findIn } from '../../parts/find.ts';
import { Mark } from '../../state-mark.tsx';
import { later, words } from '../../words.ts';
import type { Form, Place } from './read.ts';
import { type Offer, offersOf, shelvesOf } from './shelf.ts';
import * as alertCss from '../../parts/alert.module.css';
import * as tickboxCss from '../../parts/tickbox.module.css';
import * as whyCss from '../../parts/why.module.css';
import * as setupCss from './setup.module.css';

interface CandidatesProps {
  place: Place;
  title?: string;
  /** Where the ingredient stands now, to know of which family it is; the line is null until that is known. */
  spec: Id;
  line: Id | null;
  form: Form;
  set: (part: Partial<Form>) => void;
  bottles: BottlesAnswer['rows'];
  children?: ComponentChildren;
}

/** What may stand in one line: bottles by family, the line's own first and those that are open; others by name. */
export function Candidates({ place, title, spec, line, form, set, bottles, children }: CandidatesProps) {
  const on = form.shelf[place.id] ?? [];
  const tick = (it: Id) =>
    set({ shelf: { ...form.shelf, [place.id]: on.includes(it) ? on.filter((was) => was !== it) : [...on, it] } });
  return (
    <section class="part">
      <h2>{title ?? later.comparing.insteadOf(place.own)}</h2>
      {children}
      {line !== null && <Shelf place={place} spec={spec} line={line} bottles={bottles} on={on} tick={tick} />}
      <Field
        label={later.comparing.names(place.own)}
        rows={3}
        value={form.names[place.id] ?? ''}
        onInput={(text) => set({ names: { ...form.names, [place.id]: text } })}
        help={later.comparing.namesHelp}
      />
    </section>
  );
}

interface ShelfProps extends Pick<CandidatesProps, 'place' | 'spec' | 'bottles'> {
  line: Id;
  on: readonly Id[];
  tick: (it: Id) => void;
}

function Shelf({ place, spec, line, bottles, on, tick }: ShelfProps) {
  const { answer } = useAnswer({ q: 'ways', spec, line });
  const [all, setAll] = useState(false);
  const [find, setFind] = useState('');
  if (!answer) return null;
  const { family } = answer;
  const offers = offersOf(answer, bottles, place);
  if (offers.length === 0) return null;
  const { first, rest } = shelvesOf(offers, on);
  const few = rest.flatMap((shelf) => shelf.offers).length;
  return (
    <>
      {first.length === 0 ? (
        <p class="quiet">{later.comparing.noneOpened(family)}</p>
      ) : (
        <fieldset class={setupCss.ticks}>
          <legend>{later.comparing.opened(family)}</legend>
          {first.map((it) => (
            <Tick key={it.ingredient} offer={it} on={on} tick={tick} />
          ))}
        </fieldset>
      )}
      {few > 0 && (
        <button type="button" class="link" aria-expanded={all} onClick={() => setAll(!all)}>
          {all ? later.comparing.fewerBottles : later.comparing.allBottles(few)}
        </button>
      )}
      {all && (
        <>
          {few > 8 && <Field label={words.find} type="search" value={find} onInput={setFind} />}
          {rest.map((shelf) => {
            const found = findIn(shelf.offers, find);
            return (
              found.length > 0 && (
                <fieldset key={shelf.family} class={setupCss.ticks}>
                  <legend>{shelf.family || later.comparing.otherFamily}</legend>
                  {found.map((it) => (
                    <Tick key={it.ingredient} offer={it} on={on} tick={tick} />
                  ))}
                </fieldset>
              )
            );
          })}
        </>
      )}
    </>
  );
}

function Tick({ offer, on, tick }: { offer: Offer; on: readonly Id[]; tick: (it: Id) => void }) {
  const detail = [
    offer.abv_percent === null ? words.strengthUnknown : offer.abv_percent > 0 ? percent(offer.abv_percent) : '',
    offer.opened ? '' : later.comparing.shut,
  ];
  return (
    <label class={tickboxCss.tickbox}>
      <input type="checkbox" checked={on.includes(offer.ingredient)} onChange={() => tick(offer.ingredient)} />
      <span>
        {tight(offer.name)} <span class="quiet">{detailsOf(detail)}</span>
      </span>
    </label>
  );
}

/** What is wrong, by itself: of something that is more than one field. */
export function Wrong({ id, text }: { id: string; text: string | undefined }) {
  return text ? (
    <p class={alertCss.err} id={id} role="alert">
      <Mark shape="triangle" />
      <span>{text}</span>
    </p>
  ) : null;
}

/** Pairings that were written down elsewhere. */
export function Pasting({
  names,
  form,
  set,
  error,
}: {
  names: readonly string[];
  form: Form;
  set: (part: Partial<Form>) => void;
  error?: string | undefined;
}) {
  const [open, setOpen] = useState(form.pairings !== '');
  return (
    <details class={whyCss.why} open={open || Boolean(error)} onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>{later.comparing.paste}</summary>
      <Field
        label={later.comparing.pairings}
        rows={4}
        value={form.pairings}
        onInput={(pairings) => set({ pairings })}
        error={error}
        help={later.comparing.pairingsHelp(names.join(' + '))}
      />
    </details>
  );
}
