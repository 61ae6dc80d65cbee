// A number with big steps and the phone's own keypad.
import { useId, useState } from 'react';
import { Button } from '../../web/look/button.tsx';

interface NumberEntryProps {
  readonly label: string;
  readonly begins: number;
  readonly max?: number;
  readonly min?: number;
  /** The words of the button, for this number. */
  readonly say: (number: number) => string;
  readonly onSay: (number: number) => void;
}

const MAX = 1_000_000;

export function NumberEntry({ label, begins, min = 0, max = MAX, say, onSay }: NumberEntryProps) {
  const [number, setNumber] = useState(begins);
  const id = useId();
  const put = (next: number) => {
    if (Number.isFinite(next)) setNumber(Math.min(max, Math.max(min, Math.trunc(next))));
  };
  return (
    <div className="number-entry">
      <label htmlFor={id}>{label}</label>
      <div className="stepper">
        <Button aria-label="One fewer" onClick={() => put(number - 1)}>
          −
        </Button>
        <input
          id={id}
          inputMode="numeric"
          value={number}
          onChange={(event) => put(Number(event.target.value))}
          onFocus={(event) => event.target.select()}
        />
        <Button aria-label="One more" onClick={() => put(number + 1)}>
          +
        </Button>
      </div>
      <Button kind="main" wide onClick={() => onSay(number)}>
        {say(number)}
      </Button>
    </div>
  );
}
