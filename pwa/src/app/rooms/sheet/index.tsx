import { Chooser } from './chooser.tsx';
import { Sheet } from './sheet.tsx';

/** /pour asks what to pour; /pour/<spec> is the sheet of one glass. */
export function PourSheet({ params }: { params: Readonly<Record<string, string>> }) {
  return params.spec ? <Sheet spec={params.spec} /> : <Chooser />;
}
