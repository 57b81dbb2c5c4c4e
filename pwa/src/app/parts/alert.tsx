import { Mark } from '../state-mark.tsx';

/** What is wrong, said at once. */
export function Alert({ text }: { text: string }) {
  return (
    <p class="err" role="alert">
      <Mark shape="triangle" />
      <span>{text}</span>
    </p>
  );
}
