// Marks on a thing: faulty with a few words, and a medium that holds rushes.
import { type FormEvent, useState } from 'react';
import type { Fact } from '#domain/count-answers.ts';
import type { StopId } from '#domain/ids.ts';
import type { Thing } from '#domain/thing.ts';
import { Button } from '../../web/look/button.tsx';
import { Field } from '../../web/look/field.tsx';
import { usePage } from './page.tsx';

interface FaultyEntryProps {
  readonly thing: Pick<Thing, 'id' | 'name'>;
  readonly stopId: StopId | null;
  readonly faulty: string | null;
}

export function FaultyEntry({ thing, stopId, faulty }: FaultyEntryProps) {
  const { act } = usePage();
  const [words, setWords] = useState('');
  const mark = (on: boolean, note: string | null): Fact => {
    return { kind: 'mark', stopId, round: null, note, thingId: thing.id, mark: 'faulty', on };
  };
  const say = (event: FormEvent) => {
    event.preventDefault();
    void act([mark(true, words.trim() || null)], `${thing.name} is faulty.`);
    setWords('');
  };
  if (faulty !== null) {
    return (
      <p>
        Faulty: {faulty}.{' '}
        <Button onClick={() => void act([mark(false, null)], `${thing.name} works again.`)}>
          It works again
        </Button>
      </p>
    );
  }
  return (
    <details>
      <summary>Faulty</summary>
      <form onSubmit={say}>
        <Field
          label="What is wrong with it"
          value={words}
          onChange={(event) => setWords(event.target.value)}
          maxLength={300}
          placeholder="cuts out when moved"
        />
        <Button type="submit">It is faulty</Button>
      </form>
    </details>
  );
}

/** A medium with footage that is not yet safe twice stands first among what is open, until somebody says that it is. */
export function RushesEntry({
  thing,
  stopId,
}: {
  readonly thing: Pick<Thing, 'id' | 'name' | 'kind' | 'holdsRushes'>;
  readonly stopId: StopId | null;
}) {
  const { act } = usePage();
  if (thing.kind !== 'item') return null;
  const on = !thing.holdsRushes;
  const fact: Fact = {
    kind: 'mark',
    stopId,
    round: null,
    note: null,
    thingId: thing.id,
    mark: 'holds-rushes',
    on,
  };
  const words = on ? `${thing.name} holds rushes.` : `${thing.name}: the rushes are safe.`;
  return (
    <Button onClick={() => void act([fact], words)}>{on ? 'It holds rushes' : 'Its rushes are safe'}</Button>
  );
}
