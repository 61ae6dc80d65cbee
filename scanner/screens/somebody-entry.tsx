// "With somebody": a name that is known on one tap, any other by typing.
import { type FormEvent, useState } from 'react';
import type { PlaceId } from '#domain/ids.ts';
import { Button } from '../../web/look/button.tsx';
import { Field } from '../../web/look/field.tsx';
import { useBook } from './page.tsx';

/** Who has it: a party the outfit knows, or only a name. */
export type Somebody = { readonly partyId: PlaceId; readonly name: string } | { readonly name: string };

export function SomebodyEntry({ onSay }: { readonly onSay: (somebody: Somebody) => void }) {
  const book = useBook();
  const [name, setName] = useState('');
  const parties = [...book.places.values()]
    .filter((place) => place.kind === 'party')
    .sort((a, b) => (a.name < b.name ? -1 : 1));
  const say = (event: FormEvent) => {
    event.preventDefault();
    if (name.trim() !== '') onSay({ name: name.trim() });
  };
  return (
    <section className="card" aria-label="Who has it">
      <div className="row">
        {parties.map((party) => (
          <Button key={party.id} icon="person" onClick={() => onSay({ partyId: party.id, name: party.name })}>
            {party.name}
          </Button>
        ))}
      </div>
      <form onSubmit={say}>
        <Field
          label="Or somebody else"
          value={name}
          onChange={(event) => setName(event.target.value)}
          maxLength={120}
        />
        <Button type="submit">They have it</Button>
      </form>
    </section>
  );
}
