import { useState } from 'preact/hooks';
import { plainNumber } from '../format.ts';
import { words } from '../words.ts';
import { Field } from './field.tsx';
import { readNumber } from './read-number.ts';
import * as fieldCss from './field.module.css';

/** What a plain drink is, as it is typed. */
export interface Typed {
  name: string;
  volume: string;
  strength: string;
}

export interface Plain {
  name: string;
  vol_ul: number;
  abv_bp: number | null;
}

export type Wrong = Partial<Record<keyof Typed, string>>;

export const nothingTyped: Typed = { name: '', volume: '', strength: '' };

export const typedOf = (name: string, volumeMl: number | null, percent: number | null): Typed => ({
  name,
  volume: volumeMl === null ? '' : plainNumber(volumeMl),
  strength: percent === null ? '' : plainNumber(percent),
});

/** Reads it, or says what is wrong with each field. An empty strength is unknown, never nought. */
export function readPlain({ name, volume, strength }: Typed): { plain: Plain } | { wrong: Wrong } {
  const millilitres = readNumber(volume);
  const percent = strength.trim() === '' ? null : readNumber(strength);
  const wrong: Wrong = {};
  if (name.trim() === '') wrong.name = words.sheet.needName;
  if (millilitres === null || millilitres <= 0 || millilitres > 5000) wrong.volume = words.sheet.needVolume(volume);
  if (strength.trim() !== '' && (percent === null || percent < 0 || percent > 100))
    wrong.strength = words.sheet.needStrength(strength);
  if (Object.keys(wrong).length > 0 || millilitres === null) return { wrong };
  return {
    plain: {
      name: name.trim(),
      vol_ul: Math.round(millilitres * 1000),
      abv_bp: percent === null ? null : Math.round(percent * 100),
    },
  };
}

/** The three fields of a plain drink; `read` gives it, or shows what is wrong and gives null. */
export function usePlain(first: Typed): { fields: preact.ComponentChildren; read: () => Plain | null } {
  const [typed, setTyped] = useState(first);
  const [bad, setBad] = useState<Wrong>({});
  const field = (key: keyof Typed) => ({
    value: typed[key],
    onInput: (value: string) => setTyped((now) => ({ ...now, [key]: value })),
    error: bad[key],
  });
  return {
    fields: (
      <>
        <Field label={words.sheet.otherName} placeholder={words.sheet.otherPlaceholder} {...field('name')} />
        <div class={fieldCss.twofields}>
          <Field label={words.sheet.otherVolume} inputMode="decimal" {...field('volume')} />
          <Field label={words.sheet.otherStrength} inputMode="decimal" {...field('strength')} />
        </div>
      </>
    ),
    read: () => {
      const it = readPlain(typed);
      setBad('wrong' in it ? it.wrong : {});
      return 'plain' in it ? it.plain : null;
    },
  };
}
