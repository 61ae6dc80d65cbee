// A row of a list: the thing's name, its facts, and the word for its state. Pressed, when it can be.
import type { ReactNode } from 'react';
import { Icon, type IconName } from './icon.tsx';

export type Tone = 'plain' | 'good' | 'ask' | 'bad';

export interface LineState {
  readonly word: string;
  readonly tone: Tone;
  readonly icon?: IconName;
}

interface LineProps {
  readonly name: ReactNode;
  readonly facts?: ReactNode;
  readonly state?: LineState;
  readonly onPress?: () => void;
}

function LineBody({ name, facts, state }: Omit<LineProps, 'onPress'>) {
  return (
    <>
      <span>
        <span className="line-name">{name}</span>
        {facts ? <span className="line-facts"> {facts}</span> : null}
      </span>{' '}
      {state ? (
        <span className={`line-state tone-${state.tone}`}>
          {state.icon ? <Icon name={state.icon} /> : null}
          {state.word}
        </span>
      ) : null}
    </>
  );
}

/** One row, to stand in `<Lines>`. */
export function Line({ onPress, ...body }: LineProps) {
  return (
    <li>
      {onPress ? (
        <button type="button" className="line" onClick={onPress}>
          <LineBody {...body} />
        </button>
      ) : (
        <div className="line">
          <LineBody {...body} />
        </div>
      )}
    </li>
  );
}

/** A list of rows, named for those who hear it. */
export function Lines({ label, children }: { readonly label: string; readonly children: ReactNode }) {
  return (
    <ul className="lines" aria-label={label}>
      {children}
    </ul>
  );
}
