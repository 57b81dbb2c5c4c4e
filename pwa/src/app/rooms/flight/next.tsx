import { useState } from 'preact/hooks';
import type { Intent } from '../../../shared/core.ts';
import { useAnswer } from '../../core-client.ts';
import { alcohol, decimal, ml } from '../../format.ts';
import { Frame } from '../../frame.tsx';
import { newId } from '../../ids.ts';
import { Select } from '../../parts/field.tsx';
import { save } from '../../parts/saved.tsx';
import { Waiting } from '../../parts/waiting.tsx';
import { go, type Params } from '../../router.ts';
import { later } from '../../words-later.ts';

type Sight = Extract<Intent, { do: 'flight' }>['sight'];
const sizes = ['10', '15', '20', '25', '30', '40', '50', '60'] as const;
const numbers = ['2', '3', '4', '5', '6'] as const;

/** /side/<id>/next: which glasses to set beside each other, and what they come to. */
export function Next({ params }: { params: Params }) {
  const id = params.id ?? '';
  const [glasses, setGlasses] = useState<(typeof numbers)[number]>('4');
  const [size, setSize] = useState<(typeof sizes)[number]>('20');
  const [sight, setSight] = useState<Sight>('blind');
  const [seed] = useState(() => String(crypto.getRandomValues(new Uint32Array(1))[0]));
  const pour_ul = Number(size) * 1000;
  const { answer, slow, fault, refusal } = useAnswer({ q: 'plan', id, glasses: Number(glasses), pour_ul, seed });
  const begin = () => {
    if (!answer) return;
    const seats = answer.seats.map(({ picks, why }) => ({ picks, why }));
    void save({ do: 'flight', id: newId(), comparison: id, pour_ul, seed, sight, seats }, later.flight.saved).then(
      (done) => done && go(`/flight/${done.made}`, true),
    );
  };
  const open = answer && !answer.quiet && answer.fits;
  return (
    <Frame
      title={later.flight.next}
      away={`/side/${id}`}
      {...(open ? { act: { label: later.flight.save, onClick: begin } } : {})}
    >
      {refusal ? (
        <p role="alert">{refusal.text}</p>
      ) : !answer ? (
        <Waiting slow={slow} fault={fault} />
      ) : answer.quiet ? (
        <p>{later.flight.quiet}</p>
      ) : (
        <div class="narrow">
          <Select
            label={later.flight.glasses}
            value={glasses}
            onChange={setGlasses}
            options={numbers.map((n) => [n, n])}
          />
          <Select
            label={later.flight.size}
            value={size}
            onChange={setSize}
            options={sizes.map((n) => [n, ml(Number(n))])}
          />
          <Select
            label={later.flight.sight}
            value={sight}
            onChange={setSight}
            options={(['blind', 'half', 'sighted'] as const).map((it) => [it, later.flight.sights[it]])}
          />
          <section class="part">
            <h2>{later.flight.why}</h2>
            <ul class="rows">
              {answer.seats.map((it) => (
                <li key={it.picks} class="row">
                  <span>{it.names.join(' + ')}</span>
                  <span class="quiet end">{later.flight.whys[it.why]}</span>
                </li>
              ))}
            </ul>
          </section>
          <p>
            {later.flight.sums(
              alcohol(answer.today),
              alcohol(answer.session),
              alcohol(answer.flight),
              decimal(answer.limit_drinks, 1, 0),
            )}
          </p>
          <p>
            {answer.unknown.length > 0
              ? later.flight.unknown(answer.unknown.join(', '))
              : answer.fits
                ? later.flight.fits
                : later.flight.over}
          </p>
        </div>
      )}
    </Frame>
  );
}
