// One place: what it is in, its picture, its numbers, and its lists.
import { useState } from 'react';
import { Link } from 'react-router';
import type { PlaceNode } from '#domain/where.ts';
import { useSums } from '../data/place-lists.ts';
import { movablePlace } from '../data/place-moves.ts';
import { chainFrom, type Places } from '../data/places.ts';
import { Button } from '../look/button.tsx';
import { Tape } from '../look/tape.tsx';
import { bodyOf, PlaceChain } from './parts.tsx';
import { PlaceEdit } from './place-edit.tsx';
import { FiguresLine } from './place-figures.tsx';
import { PlaceFilter } from './place-filter.tsx';
import { PlaceLists } from './place-lists.tsx';
import { PlaceMake } from './place-make.tsx';
import type { MoveDesk } from './place-move.tsx';
import { PlacePicture, usePlaceFacts } from './place-picture.tsx';
import type { ListName, WhereAddress } from './where-address.ts';
import { showNumber, WORD_OF_PLACE } from './words.ts';

interface PlaceProps {
  readonly place: PlaceNode;
  readonly places: Places;
  readonly address: WhereAddress;
  readonly desk: MoveDesk;
}

function Around({ place, places }: { readonly place: PlaceNode; readonly places: Places }) {
  const [outer] = chainFrom(place.id, places.byId).slice(1);
  const kept = usePlaceFacts(place.id);
  return (
    <>
      <p className="facts-line">
        {WORD_OF_PLACE[place.kind]}
        {outer ? (
          <>
            {' in '}
            <PlaceChain placeId={outer.id} places={places} />
          </>
        ) : null}
        {kept?.codes.map((code) => (
          <span key={code} className="code">
            {' · '}
            {code}
          </span>
        ))}
        {kept?.address ? ` · ${kept.address}` : ''}
      </p>
      {kept?.note ? <p>{kept.note}</p> : null}
    </>
  );
}

/** A place with nothing right in it opens on all that is inside of it. */
const usualList = ({ here, things }: PlaceNode): ListName => (here === 0 && things > 0 ? 'inside' : 'here');

type Doing = 'edit' | 'make' | null;

function PlaceWays({
  place,
  places,
  desk,
  doing,
  onDo,
}: {
  readonly place: PlaceNode;
  readonly places: Places;
  readonly desk: MoveDesk;
  readonly doing: Doing;
  readonly onDo: (doing: Doing) => void;
}) {
  const moved = movablePlace(place, places);
  return (
    <div className="place-ways not-on-paper">
      <Button aria-expanded={doing === 'edit'} onClick={() => onDo(doing === 'edit' ? null : 'edit')}>
        Edit
      </Button>
      <Button aria-expanded={doing === 'make'} onClick={() => onDo(doing === 'make' ? null : 'make')}>
        Make a place
      </Button>
      {typeof moved === 'string' ? null : (
        <>
          <Button onClick={() => desk.begin([moved], null)}>Move it …</Button>
          <Link to={`/things/${place.id}`} className="button quiet">
            As a thing
          </Link>
        </>
      )}
    </div>
  );
}

export function PlaceContents({ place, places, address, desk }: PlaceProps) {
  const [doing, setDoing] = useState<Doing>(null);
  const sums = bodyOf(useSums(place.id).answer);
  const list = address.list ?? usualList(place);
  return (
    <>
      <Tape
        level={2}
        figure={place.here === 1 ? '1 thing right here' : `${showNumber(place.here)} things right here`}
      >
        {place.name}
      </Tape>
      <div className="place-head">
        <div>
          <Around place={place} places={places} />
          <FiguresLine figures={place} />
          <PlaceWays place={place} places={places} desk={desk} doing={doing} onDo={setDoing} />
        </div>
        <PlacePicture place={place} />
      </div>
      {doing === 'edit' ? <PlaceEdit place={place} onDone={() => setDoing(null)} /> : null}
      {doing === 'make' ? (
        <PlaceMake place={place} onMade={(id) => address.choose(id)} onClose={() => setDoing(null)} />
      ) : null}
      <PlaceFilter place={place} sums={sums} list={list} address={address} />
      <PlaceLists place={place} places={places} list={list} address={address} desk={desk} />
    </>
  );
}
