import type { Id, SpecsAnswer, SpecView } from '../../../shared/core.ts';
import { type Live, useAnswer } from '../../core-client.ts';
import { Frame } from '../../frame.tsx';
import { listOf, shortDay } from '../../format.ts';
import { specTitle, specVersion } from '../../parts/spec-name.ts';
import { Waiting } from '../../parts/waiting.tsx';
import { wide } from '../../parts/wide.ts';
import type { Params } from '../../router.ts';
import { later, words } from '../../words.ts';
import { SpecsList, useSpecs } from './list.tsx';
import { SpecDetail } from './detail.tsx';
import * as bannerCss from '../../parts/banner.module.css';
import * as duoCss from '../../parts/duo.module.css';

/** One spec: its lines, its balance, its riffs; what can be changed is changed in place. */
export function Spec({ params }: { params: Params }) {
  const id = params.id ?? '';
  return wide.value ? <WithList id={id} /> : <SpecPage id={id} />;
}

function WithList({ id }: { id: Id }) {
  return <SpecPage id={id} beside={useSpecs()} />;
}

/** `room`: the page of the room itself, not one opened from it; its id is empty when the search found nothing. */
export function SpecPage({ id, beside, room }: { id: Id; beside?: Live<SpecsAnswer>; room?: boolean }) {
  const { answer, slow, fault, refusal } = useAnswer({ q: 'spec', id });
  const detail = answer ? (
    <SpecDetail key={answer.id} view={answer} />
  ) : id === '' ? null : refusal ? (
    <p role="alert">{words.notThere}</p>
  ) : (
    <Waiting slow={slow} fault={fault} />
  );
  return (
    <Frame
      title={answer ? specTitle(answer) : words.rooms.specs}
      {...(room ? {} : { away: '/specs' })}
      {...(answer
        ? {
            sub: subOf(answer),
            banner: <Clashes view={answer} />,
            ...(answer.lines.length > 0 ? { act: { label: later.spec.pour, href: `/pour/${answer.id}` } } : {}),
          }
        : {})}
    >
      {beside ? (
        <div class={duoCss.duo}>
          <section class={duoCss.list} aria-label={later.specs.list}>
            {room && (
              <p>
                <a class="btn" href="/specs/new">
                  {later.specs.act}
                </a>
              </p>
            )}
            <SpecsList live={beside} current={id} />
          </section>
          <div>{detail}</div>
        </div>
      ) : (
        detail
      )}
    </Frame>
  );
}

function subOf(view: SpecView): string {
  const said = [specVersion(view), later.specs.poured(view.poured)];
  if (view.last_day !== null) said.push(later.specs.last(shortDay(view.last_day)));
  return said.filter(Boolean).join(' · ');
}

function Clashes({ view }: { view: SpecView }) {
  if (view.clashes.length === 0) return null;
  const what = [
    ...new Set(
      view.clashes.map((clash) => lastOf(clash.title, later.clash.field(clash.kind, clash.field), clash.kind)),
    ),
  ];
  const devices = [
    ...new Set(view.clashes.flatMap((clash) => clash.values.map((value) => value.device || later.clash.thisDevice))),
  ];
  return (
    <div class={`${bannerCss.banner} ${bannerCss.mind}`}>
      <p>
        <b>{later.spec.clash(joined(what))}</b> {later.spec.clashFrom(joined(devices))}
      </p>
      <a class="link" href={`/clash/${view.id}`}>
        {later.pour.choose}
      </a>
    </div>
  );
}

/** A line is called by its ingredient ("Orchard Sour, lemon juice"), everything else by its field. */
function lastOf(title: string, field: string, kind: string): string {
  return kind === 'line' ? title.split(', ').slice(1).join(', ') || title : field;
}

function joined(all: readonly string[]): string {
  if (all.length <= 1) return all[0] ?? '';
  return later.spec.and(listOf(all.slice(0, -1)), all[all.length - 1] ?? '');
}
