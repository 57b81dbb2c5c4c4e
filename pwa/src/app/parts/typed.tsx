import type { ComponentChildren } from 'preact';
import { Field } from './field.tsx';

/** The keys of a form whose values are typed. */
type Typed<F> = { [K in keyof F]: F[K] extends string ? K : never }[keyof F] & string;

/** Gives the number fields of a form by their keys: what stands in each, and what is wrong with it. */
export function typedOf<F extends object>(
  form: F,
  set: (part: Partial<F>) => void,
  wrong: Partial<Record<keyof F, string>>,
) {
  return (key: Typed<F>, label: string, more?: { inputMode?: 'text' | 'numeric'; help?: ComponentChildren }) => (
    <Field
      label={label}
      inputMode="decimal"
      value={String(form[key])}
      onInput={(value) => set({ [key]: value } as unknown as Partial<F>)}
      error={wrong[key]}
      {...more}
    />
  );
}
