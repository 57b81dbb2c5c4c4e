import { Mark } from '../state-mark.tsx';
import * as alertCss from './alert.module.css';

/** What is wrong, said at once. */
export function Alert({ text }: { text: string }) {
  return (
    <p class={alertCss.err} role="alert">
      <Mark shape="triangle" />
      <span>{text}</span>
    </p>
  );
}
