// What is said of a thing that must not be missed: faulty, holds rushes, written off, merged into another; each with its
// way out.
import { useState } from 'react';
import { Link } from 'react-router';
import type { Fact } from '#domain/count-answers.ts';
import { type Thing, thingSchema } from '#domain/thing.ts';
import type { WriteOff } from '#domain/worth.ts';
import { takeBackMerge, takeBackWriteOff, useWriteOffs, writeOff } from '../data/thing-records.ts';
import { useAnswer } from '../data/use-answer.ts';
import { Button } from '../look/button.tsx';
import { Dialog } from '../look/dialog.tsx';
import { Field } from '../look/field.tsx';
import { Notice } from '../look/notice.tsx';
import { bodyOf } from './parts.tsx';
import type { Deeds } from './thing-deeds.tsx';
import { showDate } from './words.ts';

export const WORD_OF_WRITE_OFF = {
  lost: 'lost',
  stolen: 'stolen',
  destroyed: 'destroyed',
  sold: 'sold',
} as const satisfies Readonly<Record<WriteOff['reason'], string>>;

interface MarksProps {
  readonly thing: Thing;
  readonly deeds: Deeds;
}

const markOf = (thing: Thing, mark: 'faulty' | 'holds-rushes', on: boolean, note: string | null): Fact => ({
  kind: 'mark',
  stopId: null,
  round: null,
  note,
  thingId: thing.id,
  mark,
  on,
});

/** Asks in a few words what is wrong, and marks the thing. */
export function FaultyButton({ thing, deeds }: MarksProps) {
  const [asking, setAsking] = useState(false);
  const [words, setWords] = useState('');
  const write = async () => {
    const note = words.trim() === '' ? null : words.trim();
    if (!(await deeds.write([markOf(thing, 'faulty', true, note)], `${thing.name} is marked faulty.`)))
      return;
    setAsking(false);
    setWords('');
  };
  return (
    <>
      <Button icon="caution" onClick={() => setAsking(true)}>
        Faulty
      </Button>
      <Dialog
        open={asking}
        title={`What is wrong with ${thing.name}?`}
        onClose={() => setAsking(false)}
        ways={
          <>
            <Button onClick={() => setAsking(false)}>Not now</Button>
            <Button kind="main" onClick={() => void write()}>
              Mark it faulty
            </Button>
          </>
        }
      >
        <Field
          label="In a few words"
          hint="It stays off kit lists until this is cleared."
          value={words}
          maxLength={500}
          onChange={(event) => setWords(event.target.value)}
        />
      </Dialog>
    </>
  );
}

function MarkNotices({ thing, deeds }: MarksProps) {
  return (
    <>
      {thing.holdsRushes ? (
        <Notice kind="caution" title="Holds rushes">
          <p>The footage on it is not yet safe twice or handed over.</p>
          <Button
            onClick={() =>
              deeds.write([markOf(thing, 'holds-rushes', false, null)], 'It holds no rushes any more.')
            }
          >
            They are safe now
          </Button>
        </Notice>
      ) : null}
      {thing.faulty === null ? null : (
        <Notice kind="caution" title="Faulty">
          <p>{thing.faulty === 'faulty' ? 'Nobody wrote down how.' : thing.faulty}</p>
          <Button
            icon="tick"
            onClick={() => deeds.write([markOf(thing, 'faulty', false, null)], `${thing.name} is in order.`)}
          >
            It is in order again
          </Button>
        </Notice>
      )}
    </>
  );
}

function WriteOffLine({ one, thing, deeds }: MarksProps & { readonly one: WriteOff }) {
  const { id, personId: _person, ...facts } = one;
  const back = () =>
    deeds.run(
      () => takeBackWriteOff(id),
      () => ({ words: `${thing.name} is not written off any more.`, undo: () => writeOff(id, facts) }),
    );
  return (
    <p>
      {thing.kind === 'item' ? 'Written off' : `${one.number} written off`} on {showDate(one.onDate)}:{' '}
      {WORD_OF_WRITE_OFF[one.reason]}
      {one.note ? `, ${one.note}` : ''}.{' '}
      <Button icon="undo" onClick={() => void back()}>
        Take it back
      </Button>
    </p>
  );
}

function WriteOffNotice({ thing, deeds }: MarksProps) {
  const writeOffs = bodyOf(useWriteOffs(thing.id).answer);
  if (writeOffs === null || writeOffs.length === 0) return null;
  return (
    <Notice kind="caution" title={thing.writtenOff ? 'Written off' : 'Some were written off'}>
      {thing.writtenOff ? <p>It is in no sum any more and no count asks for it. Its history stays.</p> : null}
      {writeOffs.map((one) => (
        <WriteOffLine key={one.id} one={one} thing={thing} deeds={deeds} />
      ))}
    </Notice>
  );
}

function MergedNotice({ thing, deeds }: MarksProps) {
  const kept = bodyOf(useAnswer(`/api/things/${thing.mergedIntoId}`, thingSchema).answer);
  return (
    <Notice kind="caution" title="This is another thing’s old entry">
      <p>
        It turned out to be the same as{' '}
        <Link to={`/things/${thing.mergedIntoId}`}>{kept?.name ?? 'that one'}</Link>. Its history, codes,
        pictures and prices are there, and no count asks for this entry.
      </p>
      <Button
        icon="undo"
        onClick={() =>
          deeds.run(
            () => takeBackMerge(thing.id),
            () => null,
          )
        }
      >
        They are two after all
      </Button>
    </Notice>
  );
}

export function ThingNotices(props: MarksProps) {
  return (
    <>
      {props.thing.mergedIntoId === null ? null : <MergedNotice {...props} />}
      <MarkNotices {...props} />
      <WriteOffNotice {...props} />
    </>
  );
}
