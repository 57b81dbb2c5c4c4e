import { useState } from 'preact/hooks';
import type { KeeperAnswer, Refusal, Settings as Values } from '../../../shared/core.ts';
import { clock, countryName, decimal, plainNumber } from '../../format.ts';
import { Field, Select } from '../../parts/field.tsx';
import { readNumber } from '../../parts/read-number.ts';
import { Frame } from '../../frame.tsx';
import { notSaved, save, saved } from '../../parts/saved.tsx';
import { Waiting } from '../../parts/waiting.tsx';
import { act, RefusedError, useAnswer } from '../../core-client.ts';
import { later, words } from '../../words.ts';
import { ThisDevice } from './this-device.tsx';
import * as fieldCss from '../../parts/field.module.css';
import * as css from './style.module.css';

const dayStarts = Array.from({ length: 13 }, (_, i) => i * 30);

/** The choices that are in the journal, and those of this device. */
export function SettingsPage() {
  const { answer, slow, fault } = useAnswer({ q: 'keeper' });
  return (
    <Frame title={later.keeper.settings} away="/keeper">
      <div class="panes even">
        {answer ? (
          <Settings settings={answer.settings} countries={answer.countries} />
        ) : (
          <Waiting slow={slow} fault={fault} />
        )}
        <ThisDevice />
      </div>
    </Frame>
  );
}

/** The owner's choices; they are in the journal, so they hold on every device. */
function Settings({ settings, countries }: { settings: Values; countries: KeeperAnswer['countries'] }) {
  const set = <N extends keyof Values>(name: N, value: Values[N]) =>
    save({ do: 'set', name, value }, later.keeper.set, () => ({ do: 'set', name, value: settings[name] }));
  /** Resolves with why it was refused: a limit above the guidance has to be wanted twice. */
  const limit = async (name: 'own_day_drinks_x10' | 'own_week_drinks_x10', value: number | null, sure: boolean) => {
    try {
      await act({ do: 'set', name, value, ...(sure ? { sure } : {}) });
      saved(later.keeper.set, { do: 'set', name, value: settings[name], sure: true });
      return null;
    } catch (error) {
      if (error instanceof RefusedError) return error.refusal;
      notSaved();
      return null;
    }
  };
  return (
    <section class="part">
      <h2>{later.account.journal}</h2>
      <Select
        label={later.keeper.country}
        value={settings.country}
        onChange={(value) => void set('country', value)}
        options={[
          ...(countries.some((country) => country.code === settings.country)
            ? []
            : [[settings.country, countryName(settings.country) || later.editor.unset] as const]),
          ...countries.map(
            (country) =>
              [country.code, later.keeper.countryOption(country.name, decimal(country.grams, 2, 0))] as const,
          ),
        ]}
      />
      <Select
        label={later.keeper.units}
        value={settings.units}
        onChange={(value) => void set('units', value)}
        options={(['ml', 'oz'] as const).map((key) => [key, later.keeper.unitOption[key] ?? key])}
      />
      <Select
        label={later.keeper.oz}
        value={settings.oz_kind}
        onChange={(value) => void set('oz_kind', value)}
        options={(['bar', 'us', 'imperial'] as const).map((key) => [key, later.keeper.ozOption[key] ?? key])}
      />
      <p class="quiet">{later.keeper.ozHelp}</p>
      <div class={fieldCss.twofields}>
        <Select
          label={later.keeper.dayStart}
          value={String(settings.day_start_min)}
          onChange={(value) => void set('day_start_min', Number(value))}
          options={dayStarts.map((minutes) => [String(minutes), clock(minutes)])}
        />
        <Select
          label={later.keeper.weekStart}
          value={settings.week_start}
          onChange={(value) => void set('week_start', value)}
          options={(['iso', 'sun', 'sat'] as const).map((key) => [key, later.keeper.weekOption[key] ?? key])}
        />
      </div>
      <div class={fieldCss.twofields}>
        <Own
          key={`d${settings.own_day_drinks_x10}`}
          label={later.keeper.ownDay}
          x10={settings.own_day_drinks_x10}
          most={100}
          onSave={(x10, sure) => limit('own_day_drinks_x10', x10, sure)}
        />
        <Own
          key={`w${settings.own_week_drinks_x10}`}
          label={later.keeper.ownWeek}
          x10={settings.own_week_drinks_x10}
          most={700}
          onSave={(x10, sure) => limit('own_week_drinks_x10', x10, sure)}
        />
      </div>
      <p class="quiet">{later.keeper.ownHelp}</p>
      <Select
        label={later.keeper.quiet}
        value={settings.quiet ? 'on' : 'off'}
        onChange={(value) => void set('quiet', value === 'on')}
        options={(['off', 'on'] as const).map((key) => [key, later.keeper.quietOption[key] ?? key])}
        help={later.keeper.quietHelp}
      />
    </section>
  );
}

/** A limit of one's own, saved with its button; empty takes it away. */
function Own({
  label,
  x10,
  most,
  onSave,
}: {
  label: string;
  x10: number | null;
  most: number;
  onSave: (x10: number | null, sure: boolean) => Promise<Refusal | null>;
}) {
  const before = x10 === null ? '' : plainNumber(x10 / 10);
  const [typed, setTyped] = useState(before);
  const [bad, setBad] = useState<string | undefined>(undefined);
  const [above, setAbove] = useState<string | null>(null);
  const give = async (value: number | null, sure: boolean) => {
    const refusal = await onSave(value, sure);
    setAbove(refusal?.code === 'above_guidance' ? refusal.text : null);
    setBad(refusal !== null && refusal.code !== 'above_guidance' ? refusal.text : undefined);
  };
  const read = (): number | null => {
    const n = readNumber(typed);
    return n === null || n > most ? null : Math.round(n * 10);
  };
  return (
    <form
      class={css.limit}
      noValidate
      onSubmit={(event) => {
        event.preventDefault();
        const x10 = read();
        if (typed.trim() !== '' && x10 === null) return setBad(later.keeper.ownBad(typed));
        void give(x10, false);
      }}
    >
      <Field
        label={label}
        inputMode="decimal"
        value={typed}
        onInput={(text) => (setTyped(text), setAbove(null))}
        error={bad}
      />
      {above !== null && <p role="alert">{later.keeper.ownAbove(above)}</p>}
      {typed.trim() !== before && (
        <div class="btns">
          <button type="submit" class="btn">
            {words.save}
          </button>
          {above !== null && (
            <button type="button" class="btn" onClick={() => void give(read(), true)}>
              {later.keeper.ownSure}
            </button>
          )}
        </div>
      )}
    </form>
  );
}
