// What lives in a place: how much of it is there, and where the rest is.
import { Link } from 'react-router';
import type { HomeLine } from '#domain/where.ts';
import { askHomes, useLines } from '../data/place-lists.ts';
import type { Places } from '../data/places.ts';
import { PlaceChain } from './parts.tsx';
import { ListFrame, type ListProps, pathOf } from './place-list-frame.tsx';
import { LongTable } from './place-table.tsx';
import { showNumber, WORD_OF_KIND } from './words.ts';

function HomeHead() {
  return (
    <tr>
      <th scope="col">Thing</th>
      <th scope="col" className="wide-only">
        What it is
      </th>
      <th scope="col" className="number">
        Lives here
      </th>
      <th scope="col" className="number">
        Is here
      </th>
      <th scope="col">The rest is in</th>
    </tr>
  );
}

/** Counted gear with its numbers; an item with where it is. */
function Elsewhere({ line, places }: { readonly line: HomeLine; readonly places: Places }) {
  const rest = line.here < line.lives;
  if (!rest) return null;
  if (line.elsewhere.length === 0) return <span className="tone-bad">nobody put it down anywhere yet</span>;
  return line.elsewhere.map(({ placeId, number }) => (
    <span key={placeId} className="elsewhere">
      {line.kind === 'item' ? '' : `${showNumber(number)} in `}
      <PlaceChain placeId={placeId} places={places} />
    </span>
  ));
}

export function HomeList({ place, places, list, address }: ListProps) {
  const lines = useLines(pathOf(place.id, list, address.text), askHomes);
  return (
    <ListFrame lines={lines} list={list} address={address}>
      <LongTable
        caption={`What lives in ${place.name}`}
        lines={lines}
        columns={5}
        head={<HomeHead />}
        cells={(line) => (
          <>
            <th scope="row">
              <Link to={`/things/${line.id}`}>{line.name}</Link>
              {line.way === 'flying' ? <span className="small"> when flying</span> : null}
              {line.notFound ? <span className="tone-bad small strong"> not found yet</span> : null}
            </th>
            <td className="wide-only">{WORD_OF_KIND[line.kind]}</td>
            <td className="number">{showNumber(line.lives)}</td>
            <td className={line.here < line.lives ? 'number tone-bad strong' : 'number'}>
              {showNumber(line.here)}
            </td>
            <td>
              <Elsewhere line={line} places={places} />
            </td>
          </>
        )}
      />
    </ListFrame>
  );
}
