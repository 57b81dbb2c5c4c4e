/** The shapes of states. Each always stands beside its word. */
export type MarkName = 'synced' | 'offline' | 'unsent' | 'clash' | 'look' | 'tick';

const shapes: Record<MarkName, { box: number; line?: string; fill?: string; disc?: true }> = {
  synced: { box: 12, disc: true },
  offline: { box: 12, line: 'M2.6 2.6a4.8 4.8 0 1 0 6.8 0' },
  unsent: { box: 12, line: 'M3 1v10M8 1v10' },
  clash: { box: 14, line: 'M1 4h9M4 10h9' },
  look: { box: 14, fill: 'M7 1 13 13H1z' },
  tick: { box: 12, line: 'M1 6.5 4.5 10 11 2' },
};

export function Mark({ name }: { name: MarkName }) {
  const shape = shapes[name];
  return (
    <svg width={shape.box} height={shape.box} viewBox={`0 0 ${shape.box} ${shape.box}`} aria-hidden="true">
      {shape.disc && <circle class="m-fill" cx="6" cy="6" r="5" />}
      {shape.line && <path class="m-line" d={shape.line} />}
      {shape.fill && <path class="m-fill" d={shape.fill} />}
    </svg>
  );
}
