// What editing many things does to each of them, line by line: what it was, what it becomes, or why it is left out.
import { useState } from 'react';
import { Link } from 'react-router';
import { z } from 'zod';
import { checkSchema } from '#domain/movement.ts';
import { homeSchema, moneySchema, whoseSchema } from '#domain/thing.ts';
import type { FactChange, LeftOut } from '#domain/thing-edit.ts';
import { useClasses } from '../data/names.ts';
import { usePlaces } from '../data/places.ts';
import type { DoneLine } from '../data/thing-edits.ts';
import { Button } from '../look/button.tsx';
import { bodyOf, WideTable } from './parts.tsx';
import { showMoney, showNumber, WORD_OF_CHECK, WORD_OF_WAY, WORD_OF_WHOSE } from './words.ts';

const WORD_OF_FACT: Readonly<Record<FactChange['fact'], string>> = {
  classId: 'class',
  whose: 'whose',
  homes: 'lives in',
  check: 'check',
  country: 'made in',
  maker: 'maker',
  purchasedFrom: 'bought from',
  value: 'costs new',
};
const WORD_OF_LEFT_OUT: Readonly<Record<LeftOut, string>> = {
  'not-found': 'It is not there any more.',
  'merged-away': 'It was merged into another. Change that one.',
  'version-moved': 'Somebody changed it meanwhile. Look at it, then change it again.',
  contradiction: 'That cannot be true of it:',
  'inside-itself': 'It cannot live inside itself.',
  'no-value-known': 'Nobody knows what it costs, so it cannot cost more or less. Give an amount.',
  'number-of-home-unknown': 'How many live there is not known. Say it on its own page.',
};

type NameOf = (id: string) => string;
interface Names {
  readonly classOf: NameOf;
  readonly placeOf: NameOf;
}
const idSchema = z.string().nullable();
const ownedSchema = z.looseObject({ whose: whoseSchema, ownerPlaceId: z.string().nullable() });

/** A fact in words, on either side of the change. */
function sayFact(fact: FactChange['fact'], value: FactChange['before'], { classOf, placeOf }: Names): string {
  if (fact === 'classId') {
    const id = idSchema.parse(value);
    return id === null ? 'no class' : classOf(id);
  }
  if (fact === 'value') return value === null ? 'not known' : showMoney(moneySchema.parse(value));
  if (fact === 'check') return value === null ? 'as its class says' : WORD_OF_CHECK[checkSchema.parse(value)];
  if (fact === 'whose') {
    const { whose, ownerPlaceId } = ownedSchema.parse(value);
    return ownerPlaceId === null ? WORD_OF_WHOSE[whose] : `${WORD_OF_WHOSE[whose]}, ${placeOf(ownerPlaceId)}`;
  }
  if (fact === 'homes') {
    const homes = z.array(homeSchema).parse(value);
    // Driving is what goes without saying.
    const said = homes.map(({ way, placeId, number }) =>
      [number > 1 ? `${number} ×` : '', placeOf(placeId), way === 'driving' ? '' : WORD_OF_WAY[way]]
        .filter(Boolean)
        .join(' '),
    );
    return said.join(', ') || 'nowhere';
  }
  return z.string().nullable().parse(value) ?? 'not known';
}

function Outcome({ line, names }: { readonly line: DoneLine; readonly names: Names }) {
  if (line.does === 'left-out')
    return (
      <span className="tone-bad">
        {line.why === null ? '' : WORD_OF_LEFT_OUT[line.why]} {line.detail}
      </span>
    );
  if (line.changes.length === 0 && !line.clearsFaulty) return <span className="small">is so already</span>;
  return (
    <>
      {line.changes.map(({ fact, before, after }) => (
        <span key={fact} className="bulk-change">
          <span className="small">{WORD_OF_FACT[fact]}</span> <del>{sayFact(fact, before, names)}</del>{' '}
          <span aria-hidden="true">→</span> <ins>{sayFact(fact, after, names)}</ins>
        </span>
      ))}
      {line.clearsFaulty ? <span className="bulk-change">no longer faulty</span> : null}
    </>
  );
}

const RANK = { 'left-out': 0, changes: 1, stays: 2 } as const;
const LINES_AT_ONCE = 200;

/** What is left out comes first: somebody has to do something about it. */
export function BulkLines({ lines }: { readonly lines: readonly DoneLine[] }) {
  const classes = useClasses();
  const places = bodyOf(usePlaces().answer)?.byId;
  const [shown, setShown] = useState(LINES_AT_ONCE);
  const names: Names = {
    classOf: (id) => classes.get(id)?.name ?? 'a class',
    placeOf: (id) => places?.get(id)?.name ?? 'a place',
  };
  const sorted = [...lines].sort((a, b) => RANK[a.does] - RANK[b.does]);
  return (
    <>
      <WideTable name="Line by line">
        <table>
          <thead>
            <tr>
              <th scope="col">Thing</th>
              <th scope="col">What happens</th>
            </tr>
          </thead>
          <tbody>
            {sorted.slice(0, shown).map((line) => (
              <tr key={line.id}>
                <th scope="row">
                  <Link to={`/things/${line.id}`}>{line.name ?? 'not there any more'}</Link>
                </th>
                <td>
                  <Outcome line={line} names={names} />
                </td>
              </tr>
            ))}
          </tbody>
        </table>
      </WideTable>
      {sorted.length > shown ? (
        <Button onClick={() => setShown(shown + LINES_AT_ONCE)}>
          Show more lines, {showNumber(sorted.length - shown)} are left
        </Button>
      ) : null}
    </>
  );
}
