// Long work: how far it is, in words and as a bar, and a way to stop it.
import { useId } from 'react';

interface ProgressProps {
  /** What is being done, such as "Bringing in lines". */
  readonly label: string;
  readonly done: number;
  /** Left out while nobody knows how much there is. */
  readonly all?: number;
  readonly onStop?: () => void;
}

export function Progress({ label, done, all, onStop }: ProgressProps) {
  const id = useId();
  return (
    <div className="progress">
      <div className="progress-words">
        <span id={id}>{label}</span>
        <span>{all === undefined ? done : `${done} of ${all}`}</span>
        {onStop ? (
          <button type="button" onClick={onStop}>
            Stop
          </button>
        ) : null}
      </div>
      {all === undefined ? (
        <progress aria-labelledby={id} />
      ) : (
        <progress aria-labelledby={id} value={done} max={all} />
      )}
    </div>
  );
}
