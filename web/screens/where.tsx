// Where everything is: the tree of places, and beside it what is in the one that was chosen.
import './where.css';
import { useState } from 'react';
import { Link, useNavigate } from 'react-router';
import type { Refused } from '../data/ask.ts';
import { orderPlaces } from '../data/place-edits.ts';
import { type Branch, type Places, usePlaces } from '../data/places.ts';
import { Empty } from '../look/empty.tsx';
import { Tape } from '../look/tape.tsx';
import { Answered, RefusedNotice, useTitle } from './parts.tsx';
import { PlaceContents } from './place-contents.tsx';
import { PlaceMake } from './place-make.tsx';
import { useMoveDesk } from './place-move.tsx';
import { PlaceTree } from './place-tree.tsx';
import { useWhereAddress, type WhereAddress } from './where-address.ts';

function NoPlaces() {
  const navigate = useNavigate();
  return (
    <Empty title="There is no gear here yet.">
      <p>
        <Link to="/bring-in" className="button main">
          Bring in a list
        </Link>
      </p>
      <p>
        Any spreadsheet will do. Places that it names are made along the way. Or make the first place
        yourself.
      </p>
      <PlaceMake place={null} onMade={(id) => navigate(`/where/${id}`)} onClose={null} />
    </Empty>
  );
}

/** The fixed siblings of a place in the order that the tree shows. */
function siblingsOf(branch: Branch, places: Places): readonly string[] {
  const { insideId } = branch.place;
  const find = (branches: readonly Branch[]): readonly Branch[] =>
    branches.some((one) => one.place.id === branch.place.id)
      ? branches
      : branches.flatMap((one) => find(one.inside));
  if (insideId === null) return [];
  return find(places.roots)
    .filter(({ place }) => place.kind === branch.place.kind)
    .map(({ place }) => place.id);
}

/** Puts a compartment before or behind its neighbour; nothing where there is none on that side. */
function orderAfter(branch: Branch, by: -1 | 1, places: Places): readonly string[] | null {
  const ids = [...siblingsOf(branch, places)];
  const at = ids.indexOf(branch.place.id);
  const other = ids[at + by];
  if (at < 0 || other === undefined) return null;
  ids[at + by] = branch.place.id;
  ids[at] = other;
  return ids;
}

function ChosenPlace({
  places,
  address,
  desk,
}: {
  readonly places: Places;
  readonly address: WhereAddress;
  readonly desk: ReturnType<typeof useMoveDesk>;
}) {
  const place = address.chosen === null ? undefined : places.byId.get(address.chosen);
  if (place)
    return <PlaceContents key={place.id} place={place} places={places} address={address} desk={desk} />;
  if (address.chosen !== null)
    return (
      <Empty title="There is no such place.">
        <p>Choose one from the tree.</p>
      </Empty>
    );
  return (
    <Empty title="Choose a place.">
      <p>What was put down there shows up here, with numbers.</p>
      <PlaceMake place={null} onMade={address.choose} onClose={null} />
    </Empty>
  );
}

function WherePanes({ places }: { readonly places: Places }) {
  const address = useWhereAddress(places);
  const desk = useMoveDesk(places);
  const [refused, setRefused] = useState<Refused | null>(null);
  useTitle(places.byId.get(address.chosen ?? '')?.name ?? 'Where');
  const order = async (branch: Branch, by: -1 | 1) => {
    if (branch.place.kind !== 'compartment')
      return desk.refuse('Only compartments have an order of their own. The others are sorted by name.');
    const ids = orderAfter(branch, by, places);
    if (ids === null) return;
    const done = await orderPlaces(ids);
    setRefused(done.ok ? null : done);
  };
  return (
    <div className="where">
      <section className="where-tree" aria-labelledby="where-head">
        <Tape level={1} id="where-head">
          Where
        </Tape>
        <p className="tree-heads small" aria-hidden="true">
          <span>Place</span>
          <span className="number tree-number">Things</span>
          <span className="number tree-value">Value</span>
        </p>
        <PlaceTree places={places} address={address} desk={desk} labelledBy="where-head" onOrder={order} />
        <p className="tree-keys small">
          <kbd>↑</kbd> <kbd>↓</kbd> go · <kbd>→</kbd> open · a letter jumps · <kbd>Enter</kbd> choose ·{' '}
          <kbd>Shift</kbd> <kbd>m</kbd> move · <kbd>Alt</kbd> <kbd>↑</kbd> order. ≈ is with sundries, an
          estimate.
        </p>
      </section>
      <section className="where-contents" aria-label="What is there">
        {desk.panel}
        {refused ? <RefusedNotice refused={refused} /> : null}
        <ChosenPlace places={places} address={address} desk={desk} />
      </section>
    </div>
  );
}

export function WhereScreen() {
  const { answer, again } = usePlaces();
  return (
    <Answered answer={answer} onAgain={again}>
      {(places) => (places.roots.length === 0 ? <NoPlaces /> : <WherePanes places={places} />)}
    </Answered>
  );
}
