import type { ComponentChildren } from 'preact';
import { useId } from 'preact/hooks';
import { Mark } from '../state-mark.tsx';
import * as alertCss from './alert.module.css';
import * as fieldCss from './field.module.css';

interface FieldProps {
  label: string;
  value: string;
  onInput: (value: string) => void;
  error?: string | undefined;
  /** What a screen reader says after the label; shown under the field. */
  help?: ComponentChildren;
  placeholder?: string;
  inputMode?: 'text' | 'decimal' | 'numeric';
  type?: 'text' | 'search' | 'date' | 'datetime-local';
  max?: string;
  /** Lines of a text with line breaks; one when left out. */
  rows?: number;
  /** What may well be meant. */
  offers?: readonly string[];
  required?: boolean;
}

/** One labelled field; what is wrong stands right under it. */
export function Field({
  label,
  value,
  onInput,
  error,
  help,
  placeholder,
  inputMode = 'text',
  type = 'text',
  max,
  rows,
  offers,
  required,
}: FieldProps) {
  const id = useId();
  const told = [error && `${id}-e`, help && `${id}-h`].filter(Boolean).join(' ') || undefined;
  const common = {
    id,
    value,
    placeholder,
    required,
    'aria-invalid': error ? ('true' as const) : undefined,
    'aria-describedby': told,
  };
  return (
    <div class={fieldCss.field} data-bad={error ? '' : undefined}>
      <label for={id}>{label}</label>
      {rows === undefined ? (
        <input
          {...common}
          type={type}
          inputMode={type === 'text' ? inputMode : undefined}
          max={max}
          autocomplete="off"
          list={offers ? `${id}-o` : undefined}
          onInput={(event) => onInput(event.currentTarget.value)}
        />
      ) : (
        <textarea {...common} rows={rows} onInput={(event) => onInput(event.currentTarget.value)} />
      )}
      {offers && (
        <datalist id={`${id}-o`}>
          {offers.map((offer) => (
            <option key={offer} value={offer} />
          ))}
        </datalist>
      )}
      {error && (
        <p class={alertCss.err} id={`${id}-e`}>
          <Mark shape="triangle" />
          <span>{error}</span>
        </p>
      )}
      {help && (
        <p class="quiet" id={`${id}-h`}>
          {help}
        </p>
      )}
    </div>
  );
}

interface SelectProps<T extends string> {
  label: string;
  value: T;
  options: readonly (readonly [value: T, text: string])[];
  onChange: (value: T) => void;
  help?: ComponentChildren;
}

/** One of a known few. */
export function Select<T extends string>({ label, value, options, onChange, help }: SelectProps<T>) {
  const id = useId();
  return (
    <div class={fieldCss.field}>
      <label for={id}>{label}</label>
      <select
        id={id}
        value={value}
        aria-describedby={help ? `${id}-h` : undefined}
        onChange={(event) => {
          const chosen = options.find(([it]) => it === event.currentTarget.value);
          if (chosen) onChange(chosen[0]);
        }}
      >
        {options.map(([it, text]) => (
          <option key={it} value={it} selected={it === value}>
            {text}
          </option>
        ))}
      </select>
      {help && (
        <p class="quiet" id={`${id}-h`}>
          {help}
        </p>
      )}
    </div>
  );
}
