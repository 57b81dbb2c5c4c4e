/** What one Undo takes back: all that was saved while its button stood there, as long as all of it goes back the same way. */
import type { Id, Intent } from '../../shared/core.ts';

/** The ways back as they were, and one more. */
export function joined(before: readonly Intent[], next: Intent): readonly Intent[] {
  return before.every((it) => it.do === next.do) ? [...before, next] : [next];
}

/** They are taken back from the last to the first; what can go in one act does, so that it goes whole or not at all. */
export function inOrder(ways: readonly Intent[]): readonly Intent[] {
  const back = [...ways].reverse();
  const ids = (of: 'delete' | 'restore') =>
    back.flatMap((it): Id[] => (it.do === of ? [it.id, ...(it.also ?? [])] : []));
  for (const of of ['delete', 'restore'] as const) {
    const [id, ...also] = ids(of);
    if (id !== undefined && back.every((it) => it.do === of))
      return [{ do: of, id, ...(also.length > 0 ? { also } : {}) }];
  }
  return back;
}
