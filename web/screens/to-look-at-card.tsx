// One matter: what it is, what it means in plain words, and what can be done about it, or that it is left as it is.
import type { ReactNode } from 'react';
import type { Matter } from '#domain/matter.ts';
import { Button } from '../look/button.tsx';
import { showTime } from './words.ts';

export interface MatterDeeds {
  /** Looked at and left as it is, or open again. */
  readonly onLookedAt: (matter: Matter, ref: string, lookedAt: boolean) => void;
}

interface MatterCardProps extends MatterDeeds {
  readonly matter: Matter;
  readonly of: { readonly ref: string; readonly lookedAt: number | null; readonly isOpen: boolean };
  readonly title: ReactNode;
  readonly facts: ReactNode;
  readonly means: string;
  /** The ways to settle it. */
  readonly children?: ReactNode;
}

export function MatterCard({ matter, of, title, facts, means, children, onLookedAt }: MatterCardProps) {
  return (
    <li className="card look-card">
      <h3>{title}</h3>
      <p className="small">{facts}</p>
      <p className="measure">{means}</p>
      {children}
      {of.isOpen ? (
        <Button kind="quiet" onClick={() => onLookedAt(matter, of.ref, true)}>
          Looked at, leave it as it is
        </Button>
      ) : (
        <p className="small look-done">
          {`Looked at ${of.lookedAt === null ? '' : showTime(of.lookedAt)}`}{' '}
          <Button kind="quiet" onClick={() => onLookedAt(matter, of.ref, false)}>
            Open again
          </Button>
        </p>
      )}
    </li>
  );
}
