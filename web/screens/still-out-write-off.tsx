// "Write off": said by the owner, with a date and a reason. It takes things out of the sums; nothing is deleted.
import { useState } from 'react';
import type { WriteOffFacts } from '#domain/worth.ts';
import type { WrittenOff } from '../data/still-out.ts';
import { Button } from '../look/button.tsx';
import { Dialog } from '../look/dialog.tsx';
import { Field } from '../look/field.tsx';
import { Notice } from '../look/notice.tsx';
import type { StepProps } from './still-out-found.tsx';

const REASONS: readonly (readonly [WriteOffFacts['reason'], string])[] = [
  ['lost', 'Lost'],
  ['stolen', 'Stolen'],
  ['destroyed', 'Destroyed'],
  ['sold', 'Sold'],
];

/** Today where the person sits, as a date field wants it. */
function today(): string {
  const now = new Date();
  const two = (number: number) => String(number).padStart(2, '0');
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}

const isNumber = (text: string, max: number) =>
  /^\d{1,7}$/.test(text) && Number(text) >= 1 && Number(text) <= max;

interface WriteOffDialogProps extends StepProps {
  readonly onWrittenOff: (said: WrittenOff) => void;
}

export function WriteOffDialog({ lines, onClose, onWrittenOff }: WriteOffDialogProps) {
  const [line] = lines;
  const [reason, setReason] = useState<WriteOffFacts['reason'] | null>(null);
  const [onDate, setOnDate] = useState(today);
  const [note, setNote] = useState('');
  const one = lines.length === 1 && line?.kind !== 'item' ? line : undefined;
  const [number, setNumber] = useState(String(line?.number ?? 1));
  const isGood = onDate !== '' && (one === undefined || isNumber(number, one.number));
  const say = () => {
    if (reason === null || !isGood) return;
    onWrittenOff({
      reason,
      onDate,
      note: note.trim() || null,
      number: one === undefined ? null : Number(number),
    });
  };
  const title = lines.length === 1 ? `Write off ${line?.name}` : `Write off ${lines.length} lines`;
  const ways = (
    <>
      <Button onClick={onClose}>Keep on the list</Button>
      <Button kind="main" disabled={reason === null || !isGood} onClick={say}>
        Write off
      </Button>
    </>
  );
  return (
    <Dialog open title={title} onClose={onClose} ways={ways}>
      <fieldset className="bare out-reasons">
        <legend>What became of it</legend>
        {REASONS.map(([key, word]) => (
          <label key={key}>
            <input type="radio" name="reason" checked={reason === key} onChange={() => setReason(key)} />{' '}
            {word}
          </label>
        ))}
      </fieldset>
      <Field label="On" type="date" value={onDate} onChange={(event) => setOnDate(event.target.value)} />
      {one === undefined ? null : (
        <Field
          label={`How many, of ${one.number}`}
          inputMode="numeric"
          value={number}
          error={isNumber(number, one.number) ? undefined : `Give a whole number from 1 to ${one.number}.`}
          onChange={(event) => setNumber(event.target.value)}
        />
      )}
      <Field label="Note" value={note} maxLength={1_000} onChange={(event) => setNote(event.target.value)} />
      <Notice kind="caution">
        <p>
          An insurer or the police may want to hear of a loss or a theft within days, and tax rules may ask
          for proof. This note is guidance: your policy, the law where you are, and your adviser decide.
        </p>
      </Notice>
    </Dialog>
  );
}
