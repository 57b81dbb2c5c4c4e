import { useState } from 'preact/hooks';
import type { KeeperAnswer, Settings as Values } from '../../../shared/core.ts';
import { clock, decimal, plainNumber } from '../../format.ts';
import { Field, Select } from '../../parts/field.tsx';
import { readNumber } from '../../parts/read-number.ts';
import { Frame } from '../../frame.tsx';
import { save } from '../../parts/saved.tsx';
import { Waiting } from '../../parts/waiting.tsx';
import { useAnswer } from '../../core-client.ts';
import { words } from '../../words.ts';
import { ThisDevice } from './this-device.tsx';
import './style.css';

const dayStarts = Array.from({ length: 13 }, (_, i) => i * 30);

/** The choices that are in the journal, and those of this device. */
export function SettingsPage() {
  const { answer, slow, fault } = useAnswer({ q: 'keeper' });
  return (
    <Frame title={words.keeper.settings} away="/keeper">
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
    save({ do: 'set', name, value }, words.keeper.set, () => ({ do: 'set', name, value: settings[name] }));
  return (
    <section class="part">
      <h2>{words.account.journal}</h2>
      <Select
        label={words.keeper.country}
        value={settings.country}
        onChange={(value) => void set('country', value)}
        options={[
          ...(countries.some((country) => country.code === settings.country)
            ? []
            : [[settings.country, words.country(settings.country) || words.editor.unset] as const]),
          ...countries.map(
            (country) =>
              [country.code, words.keeper.countryOption(country.name, decimal(country.grams, 2, 0))] as const,
          ),
        ]}
      />
      <div class="twofields">
        <Select
          label={words.keeper.units}
          value={settings.units}
          onChange={(value) => void set('units', value)}
          options={(['ml', 'oz'] as const).map((key) => [key, words.keeper.unitOption[key] ?? key])}
        />
        <Select
          label={words.keeper.oz}
          value={settings.oz_kind}
          onChange={(value) => void set('oz_kind', value)}
          options={(['bar', 'us', 'imperial'] as const).map((key) => [key, words.keeper.ozOption[key] ?? key])}
        />
      </div>
      <p class="quiet">{words.keeper.ozHelp}</p>
      <div class="twofields">
        <Select
          label={words.keeper.dayStart}
          value={String(settings.day_start_min)}
          onChange={(value) => void set('day_start_min', Number(value))}
          options={dayStarts.map((minutes) => [String(minutes), clock(minutes)])}
        />
        <Select
          label={words.keeper.weekStart}
          value={settings.week_start}
          onChange={(value) => void set('week_start', value)}
          options={(['iso', 'sun', 'sat'] as const).map((key) => [key, words.keeper.weekOption[key] ?? key])}
        />
      </div>
      <div class="twofields">
        <Own
          key={`d${settings.own_day_drinks_x10}`}
          label={words.keeper.ownDay}
          x10={settings.own_day_drinks_x10}
          most={100}
          onSave={(x10) => void set('own_day_drinks_x10', x10)}
        />
        <Own
          key={`w${settings.own_week_drinks_x10}`}
          label={words.keeper.ownWeek}
          x10={settings.own_week_drinks_x10}
          most={700}
          onSave={(x10) => void set('own_week_drinks_x10', x10)}
        />
      </div>
      <p class="quiet">{words.keeper.ownHelp}</p>
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
  onSave: (x10: number | null) => void;
}) {
  const before = x10 === null ? '' : plainNumber(x10 / 10);
  const [typed, setTyped] = useState(before);
  const [bad, setBad] = useState<string | undefined>(undefined);
  return (
    <form
      class="limit"
      noValidate
      onSubmit={(event) => {
        event.preventDefault();
        if (typed.trim() === '') return onSave(null);
        const n = readNumber(typed);
        if (n === null || n > most) return setBad(words.keeper.ownBad(typed));
        setBad(undefined);
        onSave(Math.round(n * 10));
      }}
    >
      <Field label={label} inputMode="decimal" value={typed} onInput={setTyped} error={bad} />
      {typed.trim() !== before && (
        <button type="submit" class="btn">
          {words.save}
        </button>
      )}
    </form>
  );
}
