// What each verdict sounds and feels like, as data. Short, five different shapes, made for this project: rising is
// good, level is nothing new, falling asks for a look, two low beats are wrong. Meaning is never in sound alone.

export type VerdictKind = 'aboard' | 'already-aboard' | 'somebody-elses' | 'unknown' | 'bad-code';

export interface Note {
  /** Pitch in Hz. */
  readonly hz: number;
  /** Begin and length in ms from the verdict on. */
  readonly atMs: number;
  readonly ms: number;
  readonly wave: 'sine' | 'triangle' | 'square';
}

export interface VerdictFeel {
  readonly notes: readonly Note[];
  /** Buzz, pause, buzz … in ms. */
  readonly buzzMs: readonly number[];
}

const note = (hz: number, atMs: number, ms: number, wave: Note['wave'] = 'triangle'): Note => ({
  hz,
  atMs,
  ms,
  wave,
});

export const VERDICT_FEELS = {
  aboard: { notes: [note(660, 0, 70), note(990, 70, 110)], buzzMs: [45] },
  'already-aboard': { notes: [note(660, 0, 60), note(660, 110, 60)], buzzMs: [30, 60, 30] },
  'somebody-elses': {
    notes: [note(880, 0, 90), note(587, 90, 90), note(440, 180, 160)],
    buzzMs: [120, 60, 60, 60, 120],
  },
  unknown: { notes: [note(520, 0, 120, 'sine'), note(390, 140, 180, 'sine')], buzzMs: [90, 80, 180] },
  'bad-code': { notes: [note(165, 0, 130, 'square'), note(165, 190, 130, 'square')], buzzMs: [220, 90, 220] },
} as const satisfies Record<VerdictKind, VerdictFeel>;
