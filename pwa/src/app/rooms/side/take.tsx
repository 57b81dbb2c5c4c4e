import { useEffect, useState } from 'preact/hooks';
import type { ComparisonAnswer } from '../../../shared/core.ts';
import { fullDay, localMoment } from '../../format.ts';
import { save } from '../../parts/saved.tsx';
import { go } from '../../router.ts';
import { later } from '../../words.ts';
import type { View } from './pairings.ts';
import { fileName, pictureOf, pngOf } from './picture.ts';
import { sentence } from './say.ts';

/** The address of something made in this page, while it is shown. */
function useAddress(of: Blob | null): string | null {
  const [at, setAt] = useState<string | null>(null);
  useEffect(() => {
    if (of === null) {
      setAt(null);
      return undefined;
    }
    const made = URL.createObjectURL(of);
    setAt(made);
    return () => URL.revokeObjectURL(made);
  }, [of]);
  return at;
}

/** The findings as a table, the grid as a picture. Both are made here: no signal is needed. */
export function Take({ answer, view }: { answer: ComparisonAnswer; view: View }) {
  const [table, setTable] = useState<Blob | null>(null);
  const [picture, setPicture] = useState<Blob | 'failed' | 'large' | null>(null);
  const tableAt = useAddress(table);
  const pictureAt = useAddress(picture instanceof Blob ? picture : null);
  const today = localMoment(Date.now()).slice(0, 10);
  const name = answer.name || answer.drink_name;
  useEffect(() => setTable(new Blob([answer.csv], { type: 'text/csv' })), [answer.csv]);
  useEffect(() => setPicture(null), [answer, view]);
  const draw = async () => {
    const says = answer.say.filter(({ code }) => code !== 'ask_anchor' && code !== 'apart');
    const drawn = pictureOf(
      answer,
      view,
      says.map((it, i) => sentence(it, says[i - 1]?.code)),
      fullDay(today),
    );
    if (drawn === null) {
      setPicture('large');
      return;
    }
    try {
      setPicture(await pngOf(drawn));
    } catch {
      setPicture('failed');
    }
  };
  const pngName = fileName(name, today, 'png');
  return (
    <section class="part unprinted">
      <h2>{later.compared.take}</h2>
      <div role="status">
        {picture === 'failed' && <p>{later.compared.pictureFailed}</p>}
        {picture === 'large' && <p>{later.compared.pictureLarge(answer.pairings)}</p>}
      </div>
      <div class="btns">
        {tableAt !== null && (
          <a class="btn" href={tableAt} download={fileName(name, today, 'csv')}>
            {later.compared.csv}
          </a>
        )}
        {pictureAt === null ? (
          <button type="button" class="btn" onClick={() => void draw()}>
            {later.compared.picture}
          </button>
        ) : (
          <a class="btn strong" href={pictureAt} download={pngName}>
            {later.compared.pictureSave(pngName)}
          </a>
        )}
        <button type="button" class="btn" onClick={() => void remove(answer)}>
          {later.compared.remove}
        </button>
      </div>
    </section>
  );
}

async function remove({ id }: ComparisonAnswer): Promise<void> {
  if (await save({ do: 'delete', id }, later.compared.removed, () => ({ do: 'restore', id }))) go('/side', true);
}
