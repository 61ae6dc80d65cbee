// What the lists of a place have in common: their addresses, and what is said while there is nothing to show.
import type { ReactNode } from 'react';
import type { PlaceNode } from '#domain/where.ts';
import type { Lines } from '../data/place-lists.ts';
import type { Places } from '../data/places.ts';
import { Button } from '../look/button.tsx';
import { Empty } from '../look/empty.tsx';
import { RefusedNotice } from './parts.tsx';
import type { MoveDesk } from './place-move.tsx';
import type { ListName, WhereAddress } from './where-address.ts';

export interface ListProps {
  readonly place: PlaceNode;
  readonly places: Places;
  readonly list: ListName;
  readonly address: WhereAddress;
  readonly desk: MoveDesk;
}

const QUERY_OF: Readonly<Record<ListName, string>> = {
  here: 'contents?reach=here',
  inside: 'contents?reach=inside',
  open: 'contents?reach=inside&only=open',
  stray: 'contents?reach=inside&only=stray',
  lives: 'homes?reach=inside',
  missing: 'homes?reach=inside&only=missing',
};

const NOTHING: Readonly<Record<ListName, readonly [string, string]>> = {
  here: [
    'Nothing was put down right here.',
    'Scan something into it on the phone page, drag it here, or bring in a list that names it as a home.',
  ],
  inside: ['Nothing is in it.', 'Scan something into it on the phone page, or drag it here.'],
  open: ['Nothing is open here.', 'What is faulty, not found yet or overdue shows up here.'],
  stray: [
    'Everything here is where it lives.',
    'What lives elsewhere and is here shows up on this tidy list.',
  ],
  lives: ['Nothing lives here.', 'Say on a thing’s page that it lives here, or bring in a list that does.'],
  missing: [
    'Nothing is missing from it.',
    'What lives here and is elsewhere shows up here, with where it is.',
  ],
};

/** The address of a list, with its filter. */
export const pathOf = (placeId: string, list: ListName, text: string): string =>
  `/api/places/${placeId}/${QUERY_OF[list]}${text === '' ? '' : `&text=${encodeURIComponent(text)}`}`;

export function ListFrame<T>({
  lines,
  list,
  address,
  children,
}: {
  readonly lines: Lines<T>;
  readonly list: ListName;
  readonly address: WhereAddress;
  readonly children: ReactNode;
}) {
  if (lines.refused) return <RefusedNotice refused={lines.refused} onAgain={lines.again} />;
  if (lines.all === null) return <p className="waiting">Asking …</p>;
  if (lines.all > 0) return children;
  if (address.text !== '')
    return (
      <Empty title="Nothing here has these words.">
        <Button onClick={() => address.setText('')}>Show all of it</Button>
      </Empty>
    );
  const [title, next] = NOTHING[list];
  return (
    <Empty title={title}>
      <p>{next}</p>
    </Empty>
  );
}
