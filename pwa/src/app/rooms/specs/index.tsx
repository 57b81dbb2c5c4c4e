import { Frame } from '../../frame.tsx';
import { wide } from '../../parts/wide.ts';
import { later, words } from '../../words.ts';
import { SpecPage } from './spec.tsx';
import { find, firstOf, SpecsList, useSpecs } from './list.tsx';

export function Specs() {
  const live = useSpecs();
  const { answer } = live;
  const first = answer && firstOf(answer);
  // A search without a find keeps the two panes: the field being typed in stays where it is.
  if (wide.value && (first || find.value !== '')) return <SpecPage id={first ?? ''} beside={live} room />;
  const specs = answer ? answer.drinks.reduce((n, drink) => n + drink.specs.length, answer.loose.length) : 0;
  return (
    <Frame
      title={words.rooms.specs}
      act={{ label: later.specs.act, href: '/specs/new' }}
      {...(answer && specs > 0 && find.value === '' ? { sub: later.specs.count(answer.drinks.length, specs) } : {})}
    >
      <SpecsList live={live} current={null} />
    </Frame>
  );
}
