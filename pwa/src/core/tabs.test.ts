import { describe, expect, it } from 'vitest';
import type { CoreCall, News, Reply } from '../shared/messages.ts';
import { Tabs, type TabsEnv } from './tabs.ts';
import { FakeBrowser } from './testing/fake-browser.ts';

const save = (text: string): CoreCall => ({ call: 'act', intent: { text } as never });

/** What a core in any of the tabs wrote to the one disk, and who runs one. */
class Machine {
  readonly browser = new FakeBrowser();
  readonly disk: string[] = [];
  readonly running = new Set<string>();
  readonly news = new Map<string, News[]>();
  /** Holds back replies of the tabs named, as a long save does. */
  readonly slow = new Map<string, Promise<void>>();

  tab(name: string, locks = true): Tabs {
    this.news.set(name, []);
    const env: TabsEnv = {
      journal: 'j',
      tab: name,
      locks: locks ? this.browser.locks(name) : null,
      channel: (hear) => this.browser.channel('core.j', name, hear),
      after: this.browser.after(name),
      tell: (news) => this.news.get(name)?.push(news),
      lead: () => {
        this.running.add(name);
        let closed = false;
        return {
          run: async (call): Promise<Reply> => {
            await this.slow.get(name);
            if (closed) return { fault: 'closed' };
            const { text } = (call as unknown as { intent: { text: string } }).intent;
            this.disk.push(text);
            return { ok: `${text} by ${name}` };
          },
          close: () => {
            closed = true;
            this.running.delete(name);
          },
        };
      },
    };
    return new Tabs(env);
  }
}

describe('tabs', () => {
  it('one runs the core, the others hand their calls over', async () => {
    const machine = new Machine();
    const [a, b] = [machine.tab('a'), machine.tab('b')];
    await machine.browser.rest();
    expect([...machine.running]).toEqual(['a']);
    expect(await a.call(save('x'))).toEqual({ ok: 'x by a' });
    const reply = b.call(save('y'));
    await machine.browser.pass(100);
    expect(await reply).toEqual({ ok: 'y by a' });
    expect(machine.disk).toEqual(['x', 'y']);
  });

  it('news of the core reaches every tab once', async () => {
    const machine = new Machine();
    const a = machine.tab('a');
    machine.tab('b');
    await machine.browser.rest();
    a.spread({ news: 'changed', ids: ['1'] });
    await machine.browser.rest();
    expect(machine.news.get('a')).toEqual([{ news: 'changed', ids: ['1'] }]);
    expect(machine.news.get('b')).toEqual([{ news: 'changed', ids: ['1'] }]);
  });

  it('a tab that comes later is told what stands', async () => {
    const machine = new Machine();
    const a = machine.tab('a');
    await machine.browser.rest();
    const synced = { news: 'sync', state: { state: 'synced' } } as News;
    a.spread({ news: 'ready' });
    a.spread({ news: 'sync', state: { state: 'unsent' } } as News);
    a.spread({ news: 'changed', ids: ['1'] });
    a.spread(synced);
    machine.tab('b');
    await machine.browser.rest();
    expect(machine.news.get('b')).toEqual([{ news: 'ready' }, synced]);
  });

  it('the next in line runs the core when the first is closed', async () => {
    const machine = new Machine();
    const [a, b] = [machine.tab('a'), machine.tab('b')];
    await machine.browser.rest();
    a.close();
    await machine.browser.rest();
    expect([...machine.running]).toEqual(['b']);
    expect(await b.call(save('x'))).toEqual({ ok: 'x by b' });
  });

  it('a frozen tab loses the core after two seconds, and comes back as one of the others', async () => {
    const machine = new Machine();
    const [a, b] = [machine.tab('a'), machine.tab('b')];
    await machine.browser.rest();
    machine.browser.frozen.add('a');
    const reply = b.call(save('x'));
    await machine.browser.pass(1_999);
    expect(machine.disk).toEqual([]);
    await machine.browser.pass(1);
    expect(await reply).toEqual({ ok: 'x by b' });
    expect([...machine.running]).toEqual(['b']);
    machine.browser.frozen.delete('a');
    const late = a.call(save('y'));
    await machine.browser.pass(100);
    expect(await late).toEqual({ ok: 'y by b' });
    expect(machine.browser.holder('core.j')).toBe('b');
  });

  it('a slow save is not a frozen tab: it is asked about every two seconds and run once', async () => {
    const machine = new Machine();
    const b = (machine.tab('a'), machine.tab('b'));
    await machine.browser.rest();
    let let_go: () => void = () => undefined;
    machine.slow.set(
      'a',
      new Promise((resolve) => {
        let_go = resolve;
      }),
    );
    const reply = b.call(save('x'));
    await machine.browser.pass(20_000);
    expect(machine.running).toEqual(new Set(['a']));
    let_go();
    await machine.browser.pass(10);
    expect(await reply).toEqual({ ok: 'x by a' });
    expect(machine.disk).toEqual(['x']);
  });

  it('a call the robbed tab had not finished goes to the new core', async () => {
    const machine = new Machine();
    const [a, b] = [machine.tab('a'), machine.tab('b')];
    await machine.browser.rest();
    let let_go: () => void = () => undefined;
    machine.slow.set(
      'a',
      new Promise((resolve) => {
        let_go = resolve;
      }),
    );
    const unfinished = a.call(save('x'));
    machine.browser.frozen.add('a');
    const other = b.call(save('y'));
    await machine.browser.pass(2_000);
    expect(await other).toEqual({ ok: 'y by b' });
    machine.browser.frozen.delete('a');
    let_go();
    await machine.browser.pass(100);
    expect(await unfinished).toEqual({ ok: 'x by b' });
    expect(machine.disk).toEqual(['y', 'x']);
  });

  it('without locks each tab runs its own', async () => {
    const machine = new Machine();
    const [a, b] = [machine.tab('a', false), machine.tab('b', false)];
    expect(await a.call(save('x'))).toEqual({ ok: 'x by a' });
    expect(await b.call(save('y'))).toEqual({ ok: 'y by b' });
  });

  it('a closed tab answers its waiting calls', async () => {
    const machine = new Machine();
    machine.tab('a');
    const b = machine.tab('b');
    await machine.browser.rest();
    machine.browser.frozen.add('a');
    const reply = b.call(save('x'));
    b.close();
    expect(await reply).toHaveProperty('fault');
  });

  it('a closed tab says nothing more, to itself or to others', async () => {
    const machine = new Machine();
    const [a, b] = [machine.tab('a'), machine.tab('b')];
    await machine.browser.rest();
    let over = () => {};
    machine.slow.set('a', new Promise((resolve) => (over = resolve)));
    void b.call(save('x'));
    await machine.browser.pass(100);
    await machine.browser.pass(2_500); // asked about, so the reply is awaited twice
    a.close();
    a.spread({ news: 'ready' });
    over();
    await machine.browser.rest();
    expect(machine.news.get('a')).toEqual([]);
    expect(machine.news.get('b')).toEqual([]);
    expect(machine.disk).toEqual(['x']); // by b, which runs the core now
  });
});
