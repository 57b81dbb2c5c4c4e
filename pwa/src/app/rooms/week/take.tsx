import { useEffect, useState } from 'preact/hooks';
import { ask } from '../../core-client.ts';
import { Select } from '../../parts/field.tsx';
import { later } from '../../words.ts';
import { firstOf, tableName } from './span.ts';
import * as fieldCss from '../../parts/field.module.css';

interface Made {
  name: string;
  at: string;
}

/** The week on paper, or days and pours as a table for another program. The core makes it, as it is shown. */
export function Take({ today }: { today: string }) {
  const [of, setOf] = useState<'days' | 'pours'>('days');
  const [span, setSpan] = useState('28');
  const [made, setMade] = useState<Made | null>(null);
  const [failed, setFailed] = useState(false);
  useEffect(() => () => void (made && URL.revokeObjectURL(made.at)), [made]);
  const make = async () => {
    try {
      const from = firstOf(today, Number(span));
      const { csv } = await ask({ q: 'table', of, from, to: today });
      setMade({ name: tableName(of, from, today), at: URL.createObjectURL(new Blob([csv], { type: 'text/csv' })) });
      setFailed(false);
    } catch {
      setFailed(true);
    }
  };
  const change = (set: () => void) => {
    set();
    setMade(null);
  };
  return (
    <section class="part unprinted">
      <h2>{later.week.takeTitle}</h2>
      <p class="quiet">{later.week.takeWhat}</p>
      <div class={fieldCss.twofields}>
        <Select
          label={later.week.takeSpan}
          value={span}
          onChange={(value) => change(() => setSpan(value))}
          options={Object.entries(later.week.takeSpans)}
        />
        <Select
          label={later.week.takeOf}
          value={of}
          onChange={(value) => change(() => setOf(value === 'pours' ? 'pours' : 'days'))}
          options={Object.entries(later.week.takeOfs)}
        />
      </div>
      {failed && <p role="alert">{later.week.takeFailed}</p>}
      <div class="btns">
        {made ? (
          <a class="btn strong" href={made.at} download={made.name}>
            {later.week.takeSave(made.name)}
          </a>
        ) : (
          <button type="button" class="btn" onClick={() => void make()}>
            {later.week.takeMake}
          </button>
        )}
        <button type="button" class="btn" onClick={() => print()}>
          {later.week.print}
        </button>
      </div>
    </section>
  );
}
