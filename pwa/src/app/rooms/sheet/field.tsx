import { useId } from 'preact/hooks';
import { Mark } from '../../state-mark.tsx';

interface FieldProps {
  label: string;
  value: string;
  onInput: (value: string) => void;
  error?: string | undefined;
  placeholder?: string;
  inputMode?: 'text' | 'decimal';
  type?: 'text' | 'datetime-local';
}

/** One labelled field; what is wrong stands right under it. */
export function Field({ label, value, onInput, error, placeholder, inputMode = 'text', type = 'text' }: FieldProps) {
  const id = useId();
  const given = {
    id, value, autocomplete: 'off' as const,
    ...(error ? { 'aria-invalid': 'true' as const, 'aria-describedby': `${id}-e` } : {}),
    onInput: (event: { currentTarget: HTMLInputElement }) => onInput(event.currentTarget.value),
  };
  return (
    <div class="field" data-bad={error ? '' : undefined}>
      <label for={id}>{label}</label>
      {type === 'text' ? <input type="text" inputMode={inputMode} {...(placeholder ? { placeholder } : {})} {...given} /> : <input type={type} {...given} />}
      {error && <p class="err" id={`${id}-e`}><Mark shape="triangle" /><span>{error}</span></p>}
    </div>
  );
}
