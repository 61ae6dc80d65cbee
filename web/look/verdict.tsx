// The answer to a scan: one word and one shape, read from two metres. Colour only comes in addition; sound and
// vibration are in scanner/feedback.
import type { ReactNode } from 'react';

export type VerdictKind = 'aboard' | 'already-aboard' | 'somebody-elses' | 'unknown' | 'bad-code';

/** The word of each verdict when things come back aboard. A screen that goes the other way gives its own. */
export const VERDICT_WORDS = {
  aboard: 'Aboard',
  'already-aboard': 'Already aboard',
  'somebody-elses': 'Somebody else’s',
  unknown: 'Unknown',
  'bad-code': 'Bad code',
} as const satisfies Record<VerdictKind, string>;

// A disc with a tick, two equal bars, a house of somebody else, a ring with a question, a square crossed out: five outlines.
const SHAPES = {
  aboard: (
    <>
      <circle cx="50" cy="50" r="46" fill="currentColor" />
      <path d="M27 52l16 17 30-36" fill="none" stroke="var(--verdict-ground)" strokeWidth="11" />
    </>
  ),
  'already-aboard': <path d="M8 20h84v22H8zM8 58h84v22H8z" fill="currentColor" />,
  'somebody-elses': (
    <>
      <path d="M50 4L98 94H2z" fill="currentColor" />
      <circle cx="50" cy="52" r="9" fill="var(--verdict-ground)" />
      <path d="M32 84c0-26 36-26 36 0z" fill="var(--verdict-ground)" />
    </>
  ),
  unknown: (
    <>
      <circle cx="50" cy="50" r="42" fill="none" stroke="currentColor" strokeWidth="10" />
      <path d="M37 40c0-18 27-18 27 0 0 10-14 10-14 20" fill="none" stroke="currentColor" strokeWidth="9" />
      <circle cx="50" cy="73" r="5.5" fill="currentColor" />
    </>
  ),
  'bad-code': (
    <path d="M10 10h80v80H10zM24 24l52 52M76 24L24 76" fill="none" stroke="currentColor" strokeWidth="11" />
  ),
} as const satisfies Record<VerdictKind, ReactNode>;

interface VerdictProps {
  readonly kind: VerdictKind;
  readonly word?: string;
  /** The name of the thing, and what to do when there is something to do. */
  readonly children?: ReactNode;
}

export function Verdict({ kind, word = VERDICT_WORDS[kind], children }: VerdictProps) {
  return (
    <div className={`verdict verdict-${kind}`} role="status">
      <p className="verdict-word">{word}</p>
      <svg className="verdict-shape" viewBox="0 0 100 100" aria-hidden="true" focusable="false">
        {SHAPES[kind]}
      </svg>
      {children ? <div className="verdict-thing">{children}</div> : null}
    </div>
  );
}
