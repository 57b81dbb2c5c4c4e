import type { ComponentChildren } from 'preact';
import * as stepperCss from './stepper.module.css';

interface StepperProps {
  label: string;
  less: string;
  more: string;
  lessText?: string;
  moreText?: string;
  /** null: nothing chosen yet; the first step goes to `start`. */
  value: number | null;
  start?: number;
  low: number;
  high: number;
  by: number;
  onChange: (value: number) => void;
  /** The value set for reading. */
  text: string;
  spoken?: string | undefined;
  detail?: ComponentChildren;
  drawing?: ComponentChildren;
}

/** Less and more at the ends, the figure between them; arrow keys, Home and End work on the figure. */
export function Stepper({
  label,
  less,
  more,
  lessText = '−',
  moreText = '+',
  value,
  start,
  low,
  high,
  by,
  onChange,
  text,
  spoken,
  detail,
  drawing,
}: StepperProps) {
  const set = (to: number) => onChange(Math.min(high, Math.max(low, to)));
  const step = (direction: 1 | -1) => set(value === null ? (start ?? low) : value + direction * by);
  const key = (event: KeyboardEvent) => {
    switch (event.key) {
      case 'ArrowUp':
      case 'ArrowRight':
        step(1);
        break;
      case 'ArrowDown':
      case 'ArrowLeft':
        step(-1);
        break;
      case 'Home':
        set(low);
        break;
      case 'End':
        set(high);
        break;
      default:
        return;
    }
    event.preventDefault();
  };
  return (
    <div class={stepperCss.step}>
      <button type="button" aria-label={less} aria-disabled={value === low} onClick={() => step(-1)}>
        {lessText}
      </button>
      <div
        role="spinbutton"
        tabIndex={0}
        aria-label={label}
        aria-valuemin={low}
        aria-valuemax={high}
        aria-valuenow={value ?? undefined}
        aria-valuetext={spoken ?? text}
        onKeyDown={key}
      >
        <p class="fig">{text}</p>
        {drawing}
        {detail && <p class="quiet">{detail}</p>}
      </div>
      <button type="button" aria-label={more} aria-disabled={value === high} onClick={() => step(1)}>
        {moreText}
      </button>
    </div>
  );
}
