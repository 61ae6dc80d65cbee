// A big way on: an icon, a name, and a few words on what happens. Two or three of them make a screen.
import type { ReactNode } from 'react';
import { Icon, type IconName } from './icon.tsx';

interface ChoiceProps {
  readonly name: string;
  readonly more?: ReactNode;
  readonly icon: IconName;
  readonly main?: boolean;
  readonly disabled?: boolean;
  readonly onChoose: () => void;
}

export function Choice({ name, more, icon, main = false, disabled = false, onChoose }: ChoiceProps) {
  return (
    <button type="button" className={main ? 'choice main' : 'choice'} disabled={disabled} onClick={onChoose}>
      <Icon name={icon} />
      <span>
        <span className="choice-name">{name}</span>
        {more ? <span className="choice-more"> {more}</span> : null}
      </span>
    </button>
  );
}

/** The choices of a screen, in order. */
export function Choices({ children }: { readonly children: ReactNode }) {
  return <div className="choices">{children}</div>;
}
