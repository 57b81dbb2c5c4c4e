import { useEffect, useRef, useState } from 'preact/hooks';
import type { ComparisonAnswer, Finding } from '../../../shared/core.ts';
import { decimal, detailsOf, tight } from '../../format.ts';
import { Field } from '../../parts/field.tsx';
import { findIn } from '../../parts/find.ts';
import { later, words } from '../../words.ts';
import {
  called,
  choicesOf,
  fewestGlasses,
  mostGlasses,
  replaced,
  type Seat,
  type Shown,
  whyOf,
  withOut,
  withOwn,
} from './planned.ts';
import * as linedCss from '../../parts/lined.module.css';
import * as planningCss from './planning.module.css';

interface SeatsProps {
  comparison: ComparisonAnswer;
  seats: readonly Shown[];
  changed: boolean;
  told: string;
  onChange: (seats: Seat[] | null, told: string) => void;
  onDraw: () => void;
}

/** Which glass is being exchanged, by its picks; '' while one is being added; null: none. */
type Open = string | null;

/** The glasses of the flight and why each is in it; every one but the benchmark can be another. */
export function Seats({ comparison, seats, changed, told, onChange, onDraw }: SeatsProps) {
  const [open, setOpen] = useState<Open>(null);
  const list = useRef<HTMLUListElement>(null);
  const [back, setBack] = useState<string | null>(null);
  useEffect(() => {
    // What was pressed is gone or moved: the focus goes to the glass that takes its place, once it is here.
    if (back === null) return;
    const rows = [...(list.current?.querySelectorAll<HTMLElement>('[data-picks]') ?? [])];
    const row = rows.find((it) => it.dataset.picks === back);
    if (back !== '' && !row) return;
    (row?.querySelector<HTMLElement>('button') ?? list.current)?.focus();
    setBack(null);
  }, [back, seats]);
  const change = (to: Seat[] | null, text: string, focus: string) => {
    setOpen(null);
    onChange(to, text);
    setBack(focus);
  };
  const choose = (it: Finding) => {
    const name = tight(called(it.names));
    const to = open === '' || open === null ? withOwn(seats, it.picks) : replaced(seats, open, it.picks);
    change(to, later.planning.put(name), it.picks);
  };
  const chooser = (title: string) => (
    <Chooser
      title={title}
      comparison={comparison}
      seats={seats}
      onChoose={choose}
      onShut={() => {
        setBack(open);
        setOpen(null);
      }}
    />
  );
  return (
    <section class="part">
      <h2>{later.planning.why}</h2>
      <ul class="rows" ref={list} tabIndex={-1}>
        {seats.map((it) => {
          const name = tight(called(it.names));
          return (
            <li key={it.picks} data-picks={it.picks} class={planningCss.seat} data-testid="seat">
              <p>{name}</p>
              <p class="quiet">{whyOf(it, comparison.swaps)}</p>
              {it.why !== 'benchmark' && open !== it.picks && (
                <div class={planningCss.links}>
                  <button
                    type="button"
                    class="link"
                    aria-label={later.planning.swapOf(name)}
                    onClick={() => setOpen(it.picks)}
                  >
                    {later.planning.swap}
                  </button>
                  {seats.length > fewestGlasses && (
                    <button
                      type="button"
                      class="link"
                      aria-label={later.planning.outOf(name)}
                      onClick={() => change(withOut(seats, it.picks), later.planning.took(name), '')}
                    >
                      {later.planning.out}
                    </button>
                  )}
                </div>
              )}
              {open === it.picks && chooser(later.planning.instead(name))}
            </li>
          );
        })}
      </ul>
      {open === '' && chooser(later.planning.adding)}
      <p role="status" class="quiet">
        {told}
      </p>
      <div class="btns">
        {open !== '' && seats.length < mostGlasses && (
          <button type="button" class="btn" onClick={() => setOpen('')}>
            {later.planning.add}
          </button>
        )}
        {changed && (
          <button type="button" class="btn" onClick={() => change(null, '', '')}>
            {later.planning.restore}
          </button>
        )}
        <button
          type="button"
          class="btn"
          onClick={() => {
            setOpen(null);
            onDraw();
          }}
        >
          {later.planning.draw}
        </button>
      </div>
    </section>
  );
}

const few = 6;

interface ChooserProps {
  title: string;
  comparison: ComparisonAnswer;
  seats: readonly Seat[];
  onChoose: (it: Finding) => void;
  onShut: () => void;
}

function Chooser({ title, comparison, seats, onChoose, onShut }: ChooserProps) {
  const [find, setFind] = useState('');
  const [all, setAll] = useState(false);
  const head = useRef<HTMLHeadingElement>(null);
  useEffect(() => head.current?.focus(), []);
  const choices = choicesOf(comparison.findings, seats).map((it) => ({ ...it, name: tight(called(it.names)) }));
  const found = findIn(choices, find);
  const shown = all || find.trim() !== '' ? found : found.slice(0, few);
  return (
    <div class={planningCss.chooser} data-testid="chooser">
      <h3 ref={head} tabIndex={-1}>
        {title}
      </h3>
      {choices.length > few && <Field label={words.find} type="search" value={find} onInput={setFind} />}
      {found.length === 0 && <p role="status">{words.nothingFound(find)}</p>}
      <ul class="rows">
        {shown.map((it) => (
          <li key={it.picks}>
            <button type="button" class="row" onClick={() => onChoose(it)}>
              <span>
                {it.name}
                <span class={`quiet ${linedCss.lined}`}>{standing(it)}</span>
              </span>
            </button>
          </li>
        ))}
      </ul>
      {comparison.findings.length < comparison.pairings && <p class="quiet">{later.planning.notAll}</p>}
      <div class="btns">
        {shown.length < found.length && (
          <button type="button" class="btn" onClick={() => setAll(true)}>
            {later.planning.allOf(found.length)}
          </button>
        )}
        <button type="button" class="btn" onClick={onShut}>
          {later.planning.shut}
        </button>
      </div>
    </div>
  );
}

/** "tasted twice, about +0.4": how a pairing stands, for choosing it. */
const standing = (it: Finding): string =>
  detailsOf([
    later.planning.tasted(it.tasted),
    it.d === null ? '' : later.planning.against(`${it.d > 0 ? '+' : ''}${decimal(it.d, 1)}`),
  ]);
