// Where everything is: the tree of places, and beside it what is in the one that was chosen.
import './where.css';
import { Link, useParams } from 'react-router';
import { type Places, usePlaces } from '../data/places.ts';
import { Empty } from '../look/empty.tsx';
import { Tape } from '../look/tape.tsx';
import { Answered, useTitle } from './parts.tsx';
import { PlaceContents } from './place-contents.tsx';
import { PlaceTree } from './place-tree.tsx';

function NoPlaces() {
  return (
    <Empty title="There is no gear here yet.">
      <p>
        <Link to="/bring-in" className="button main">
          Bring in a list
        </Link>
      </p>
      <p>Any spreadsheet will do. Places that it names are made along the way.</p>
    </Empty>
  );
}

function WherePanes({ places, chosen }: { readonly places: Places; readonly chosen: string | null }) {
  const place = chosen === null ? undefined : places.byId.get(chosen);
  useTitle(place?.name ?? 'Where');
  return (
    <div className="where">
      <section className="where-tree" aria-labelledby="where-head">
        <Tape level={1} id="where-head">
          Where
        </Tape>
        <PlaceTree places={places} chosen={chosen} labelledBy="where-head" />
      </section>
      <section className="where-contents" aria-label="What is there">
        {place ? <PlaceContents key={place.id} place={place} places={places} /> : null}
        {place === undefined && chosen !== null ? (
          <Empty title="There is no such place.">
            <p>Choose one from the tree.</p>
          </Empty>
        ) : null}
        {chosen === null ? (
          <Empty title="Choose a place.">
            <p>What was put down there shows up here, with numbers.</p>
          </Empty>
        ) : null}
      </section>
    </div>
  );
}

export function WhereScreen() {
  const { placeId = null } = useParams();
  const { answer, again } = usePlaces();
  return (
    <Answered answer={answer} onAgain={again}>
      {(places) =>
        places.roots.length === 0 ? <NoPlaces /> : <WherePanes places={places} chosen={placeId} />
      }
    </Answered>
  );
}
