// Writing a thing off: lost, stolen, destroyed or sold, on which day, with a few words. It can be taken back.
import { useState } from 'react';
import type { Thing } from '#domain/thing.ts';
import { writeOffFactsSchema } from '#domain/worth.ts';
import { takeBackWriteOff, writeOff } from '../data/thing-records.ts';
import { Button } from '../look/button.tsx';
import { Dialog } from '../look/dialog.tsx';
import { Field } from '../look/field.tsx';
import type { Deeds } from './thing-deeds.tsx';
import { Select } from './thing-inputs.tsx';

const today = (): string => new Intl.DateTimeFormat('sv-SE').format(Date.now());

interface Said {
  readonly reason: string;
  readonly onDate: string;
  readonly number: string;
  readonly note: string;
}

function factsOf(thing: Thing, said: Said) {
  const note = said.note.trim() === '' ? null : said.note.trim();
  const number = thing.kind === 'item' ? 1 : Number(said.number);
  return writeOffFactsSchema.safeParse({ ...said, thingId: thing.id, number, note, lineId: null });
}

export function WriteOffButton({ thing, deeds }: { readonly thing: Thing; readonly deeds: Deeds }) {
  const [asking, setAsking] = useState(false);
  const [id, setId] = useState(() => crypto.randomUUID());
  const [said, setSaid] = useState<Said>({ reason: 'lost', onDate: today(), number: '1', note: '' });
  const [wrong, setWrong] = useState<string | null>(null);
  const write = async () => {
    const facts = factsOf(thing, said);
    setWrong(facts.success ? null : 'Give a day, and for counted gear a whole number of 1 or more.');
    if (!facts.success) return;
    setAsking(false);
    const words = `${thing.name} is written off.`;
    const isDone = await deeds.run(
      () => writeOff(id, facts.data),
      () => ({ words, undo: () => takeBackWriteOff(id) }),
    );
    // The same press sent twice writes off once; the next one is another.
    if (isDone) setId(crypto.randomUUID());
  };
  return (
    <>
      <Button onClick={() => setAsking(true)}>Write off</Button>
      <Dialog
        open={asking}
        title={`Write ${thing.name} off?`}
        onClose={() => setAsking(false)}
        ways={
          <>
            <Button onClick={() => setAsking(false)}>Keep it</Button>
            <Button kind="main" onClick={() => void write()}>
              Write it off
            </Button>
          </>
        }
      >
        <p>It leaves every sum and no count asks for it. Its history stays, and this can be taken back.</p>
        <Select label="Reason" value={said.reason} onValue={(reason) => setSaid({ ...said, reason })}>
          <option value="lost">lost</option>
          <option value="stolen">stolen</option>
          <option value="destroyed">destroyed</option>
          <option value="sold">sold</option>
        </Select>
        <Field
          label="On"
          type="date"
          value={said.onDate}
          onChange={(event) => setSaid({ ...said, onDate: event.target.value })}
        />
        {thing.kind === 'item' ? null : (
          <Field
            label="How many"
            inputMode="numeric"
            value={said.number}
            onChange={(event) => setSaid({ ...said, number: event.target.value })}
          />
        )}
        <Field
          label="How it went"
          value={said.note}
          maxLength={4_000}
          onChange={(event) => setSaid({ ...said, note: event.target.value })}
        />
        {wrong ? (
          <p className="field-error" role="alert">
            {wrong}
          </p>
        ) : null}
        <p className="small">
          What an insurer or the tax office asks for is decided by them; this is your record.
        </p>
      </Dialog>
    </>
  );
}
