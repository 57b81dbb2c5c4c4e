import { useId, useState } from 'preact/hooks';
import { useAnswer } from '../core-client.ts';
import { longDay } from '../format.ts';
import { words } from '../words.ts';
import { Field, Select } from './field.tsx';
import { hereZone, type Instant, knownZone, lastNight, offsetAt, read, wallOf } from './zoned.ts';
import * as chipsCss from './chips.module.css';
import * as fieldCss from './field.module.css';

/** A moment being filled in; `at` is null until it can be read. Kept by whoever shows the fields. */
export interface Moment {
  wall: string;
  zone: string;
  /** Of a wall time that was lived twice. */
  second: boolean;
}

export const momentOf = (at: Instant, zone: string): Moment => ({ wall: wallOf(at), zone, second: false });

export function momentNow(agoMin = 0): Moment {
  const zone = hereZone();
  const at_ms = Date.now() - agoMin * 60_000;
  return momentOf({ at_ms, offset_min: offsetAt(at_ms, zone) ?? 0 }, zone);
}

export function instantOf({ wall, zone, second }: Moment): Instant | null {
  const it = read(wall, zone);
  return it.is === 'one' ? it.at : it.is === 'two' ? (second ? it.later : it.earlier) : null;
}

/** What is wrong with a moment, in words; undefined when nothing is. */
export function wrongWith(moment: Moment): string | undefined {
  if (!knownZone(moment.zone)) return words.when.badZone(moment.zone);
  const it = read(moment.wall, moment.zone);
  if (it.is === 'none') return words.when.never(moment.zone);
  if (it.is === 'unreadable') return words.when.bad;
  const at = instantOf(moment);
  return at !== null && at.at_ms > Date.now() + 60_000 ? words.sheet.earlierBad : undefined;
}

/** What goes into an intent for a moment; nothing for now. What is wrong comes back in words. */
export function atOf(moment: Moment | null): { wrong: string } | (Partial<Instant> & { wrong?: never; zone?: string }) {
  if (moment === null) return {};
  const wrong = wrongWith(moment);
  const at = instantOf(moment);
  return wrong || !at ? { wrong: wrong ?? words.when.bad } : { ...at, zone: moment.zone };
}

/** Which drinking day a moment counts for, said before it is saved. */
function CountsFor({ at }: { at: Instant }) {
  const { answer } = useAnswer({ q: 'label', ...at });
  return (
    <p class="quiet" role="status">
      {answer && words.when.counts(longDay(answer.day))}
    </p>
  );
}

/** Date, time and the place's clock. A time that a clock shows twice is asked for. */
export function MomentFields({
  label,
  value,
  onChange,
  error,
  away = false,
}: {
  label: string;
  value: Moment;
  onChange: (value: Moment) => void;
  error?: string | undefined;
  /** The clock of another place is in use, so it is shown at once. */
  away?: boolean;
}) {
  const zones = useId();
  const [elsewhere, setElsewhere] = useState(away || value.zone !== hereZone());
  const twice = read(value.wall, value.zone).is === 'two';
  const at = wrongWith(value) === undefined ? instantOf(value) : null;
  return (
    <>
      <Field
        label={label}
        type="datetime-local"
        value={value.wall}
        onInput={(wall) => onChange({ ...value, wall })}
        error={error}
      />
      {twice && (
        <Select
          label={words.when.twice}
          value={value.second ? 'later' : 'earlier'}
          onChange={(which) => onChange({ ...value, second: which === 'later' })}
          options={[
            ['earlier', words.when.first],
            ['later', words.when.second],
          ]}
        />
      )}
      {at && <CountsFor at={at} />}
      {elsewhere ? (
        <div class={fieldCss.field}>
          <label for={zones}>{words.when.zone}</label>
          <input
            id={zones}
            list={`${zones}-l`}
            value={value.zone}
            spellcheck={false}
            autocomplete="off"
            onInput={(event) => onChange({ ...value, zone: event.currentTarget.value.trim() })}
          />
          <datalist id={`${zones}-l`}>
            {Intl.supportedValuesOf('timeZone').map((zone) => (
              <option key={zone} value={zone} />
            ))}
          </datalist>
        </div>
      ) : (
        <p>
          <button type="button" class="link" onClick={() => setElsewhere(true)}>
            {words.when.elsewhere}
          </button>
        </p>
      )}
    </>
  );
}

/** When it was drunk: now, a little ago, last night, or any moment. null is now. */
export function When({
  value,
  onChange,
  error,
}: {
  value: Moment | null;
  onChange: (value: Moment | null) => void;
  error?: string | undefined;
}) {
  const choices: readonly [string, () => Moment | null][] = [
    [words.when.now, () => null],
    [words.when.ago15, () => momentNow(15)],
    [words.when.ago60, () => momentNow(60)],
    [words.when.lastNight, () => ({ wall: lastNight(Date.now(), hereZone()), zone: hereZone(), second: false })],
    [words.when.other, () => momentNow()],
  ];
  const [chosen, setChosen] = useState(0);
  return (
    <section class="part">
      <h2>{words.when.title}</h2>
      <div class={chipsCss.chips} role="group" aria-label={words.when.title}>
        {choices.map(([name, moment], i) => (
          <button
            key={name}
            type="button"
            class={chipsCss.chip}
            aria-pressed={i === chosen}
            onClick={() => {
              setChosen(i);
              onChange(moment());
            }}
          >
            {name}
          </button>
        ))}
      </div>
      {value !== null && (
        <MomentFields label={words.sheet.earlierField} value={value} onChange={onChange} error={error} />
      )}
    </section>
  );
}
