// The lists of a place: what is in it, what is open, what is to be put away, what lives there, and what of that is missing.
import './place-lists.css';
import { type MouseEvent, type ReactNode, useEffect, useRef } from 'react';
import { Link } from 'react-router';
import type { ContentLine, HomeLine, PlaceNode } from '#domain/where.ts';
import { askContents, askHomes, type Lines, useLines } from '../data/place-lists.ts';
import { type Movable, movableOf } from '../data/place-moves.ts';
import type { Places } from '../data/places.ts';
import { Button } from '../look/button.tsx';
import { Empty } from '../look/empty.tsx';
import { PlaceChain, RefusedNotice, useOutfit } from './parts.tsx';
import { type ChosenLines, keyOfLine, useChosenLines } from './place-chosen.ts';
import type { MoveDesk } from './place-move.tsx';
import { LongTable } from './place-table.tsx';
import type { ListName, WhereAddress } from './where-address.ts';
import { showDate, showMoney, showNumber, showTime, WORD_OF_KIND, WORD_OF_WHOSE } from './words.ts';

interface ListProps {
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

const pathOf = (placeId: string, list: ListName, text: string): string =>
  `/api/places/${placeId}/${QUERY_OF[list]}${text === '' ? '' : `&text=${encodeURIComponent(text)}`}`;

function Matters({ line }: { readonly line: ContentLine }) {
  const words = [
    line.notFound ? 'not found yet' : '',
    line.faulty === null ? '' : line.faulty === 'faulty' ? 'faulty' : `faulty: ${line.faulty}`,
    line.overdue === null ? '' : `overdue since ${showDate(line.overdue)}`,
  ].filter((word) => word !== '');
  return words.length === 0 ? null : <span className="tone-bad small strong"> {words.join(' · ')}</span>;
}

function ThingCell({ line, address }: { readonly line: ContentLine; readonly address: WhereAddress }) {
  return (
    <th scope="row">
      <Link to={`/things/${line.id}`} draggable={false}>
        {line.name}
      </Link>
      {line.isPlace ? (
        <>
          {' '}
          <Link to={address.to(line.id)} className="small" draggable={false}>
            look inside
          </Link>
        </>
      ) : null}
      {line.whose === 'ours' ? null : <span className="small"> {WORD_OF_WHOSE[line.whose]}</span>}
      <Matters line={line} />
    </th>
  );
}

/** Where a line of a longer list is: the place itself says nothing that the heading does not. */
function PlaceCells({ line, places, list, within }: ListCells) {
  const home = line.homes.find(({ way }) => way === 'driving');
  return (
    <>
      {list === 'here' ? null : (
        <td>
          <PlaceChain placeId={line.placeId} places={places} within={within} />
        </td>
      )}
      {list === 'stray' ? (
        <td>{home ? <PlaceChain placeId={home.placeId} places={places} within={within} /> : null}</td>
      ) : null}
    </>
  );
}

interface ListCells {
  readonly line: ContentLine;
  readonly places: Places;
  readonly list: ListName;
  readonly within: string;
}

function ChooseCell({
  line,
  index,
  chosen,
}: {
  readonly line: ContentLine;
  readonly index: number;
  readonly chosen: ChosenLines;
}) {
  return (
    <td className="choose-cell not-on-paper">
      <input
        type="checkbox"
        aria-label={`Choose ${line.name}`}
        tabIndex={index === chosen.current ? 0 : -1}
        checked={chosen.lines.has(keyOfLine(line))}
        onClick={(event: MouseEvent) => chosen.toggle(index, event.shiftKey)}
        onChange={() => {}}
        onFocus={() => chosen.setCurrent(index)}
      />
    </td>
  );
}

/** A narrow page has room for where a thing is or for what it is worth. */
const valueClass = (list: ListName): string => (list === 'here' ? 'number' : 'number wide-only');

function ContentHead({ list }: { readonly list: ListName }) {
  return (
    <tr>
      <th scope="col" className="choose-cell not-on-paper">
        <span className="unseen">Choose</span>
      </th>
      <th scope="col">Thing</th>
      {list === 'here' ? null : <th scope="col">Where</th>}
      {list === 'stray' ? <th scope="col">Lives in</th> : null}
      <th scope="col" className="wide-only">
        What it is
      </th>
      <th scope="col" className="number">
        Number
      </th>
      <th scope="col" className={valueClass(list)}>
        Value
      </th>
      <th scope="col" className="number wide-only">
        Put there
      </th>
    </tr>
  );
}

function ChosenBar({
  chosen,
  all,
  onMove,
}: {
  readonly chosen: ChosenLines;
  readonly all: number;
  readonly onMove: () => void;
}) {
  const count = chosen.lines.size;
  return (
    <div className="chosen-bar not-on-paper">
      <p role="status">
        {count === 0 ? 'Choose with the boxes; Shift takes all up to one.' : `${showNumber(count)} chosen.`}
      </p>
      <Button onClick={onMove} disabled={count === 0} aria-keyshortcuts="m">
        Move …
      </Button>
      <Button kind="quiet" onClick={count === 0 ? chosen.all : chosen.none}>
        {count === 0 ? `Choose all ${showNumber(all)}` : 'Choose none'}
      </Button>
    </div>
  );
}

/** The letter m moves what is chosen, or what the keyboard is on. */
function useMoveKey(move: () => void): void {
  const latest = useRef(move);
  latest.current = move;
  useEffect(() => {
    const onKey = (event: KeyboardEvent) => {
      const { target } = event;
      const types =
        target instanceof HTMLElement &&
        (target.matches('input:not([type="checkbox"]), textarea, select') ||
          target.closest('dialog') !== null);
      if (
        event.defaultPrevented ||
        types ||
        event.key !== 'm' ||
        event.ctrlKey ||
        event.metaKey ||
        event.altKey
      )
        return;
      event.preventDefault();
      latest.current();
    };
    window.addEventListener('keydown', onKey);
    return () => window.removeEventListener('keydown', onKey);
  }, []);
}

function ContentList({ place, places, list, address, desk }: ListProps) {
  const { zone } = useOutfit();
  const path = pathOf(place.id, list, address.text);
  const lines = useLines(path, askContents);
  const chosen = useChosenLines(path, lines);
  const movables = (): readonly Movable[] => {
    if (chosen.lines.size > 0) return [...chosen.lines.values()].map(movableOf);
    const current = lines.at(chosen.current);
    const isThere = document.activeElement?.closest(`[data-index="${chosen.current}"]`) !== null;
    return current && isThere ? [movableOf(current)] : [];
  };
  const move = () => desk.begin(movables(), null);
  useMoveKey(move);
  const dragged = (line: ContentLine) =>
    chosen.lines.has(keyOfLine(line)) ? [...chosen.lines.values()].map(movableOf) : [movableOf(line)];
  return (
    <ListFrame lines={lines} list={list} address={address}>
      <ChosenBar chosen={chosen} all={lines.all ?? 0} onMove={move} />
      {chosen.refused ? <RefusedNotice refused={chosen.refused} /> : null}
      <LongTable
        caption={`What is in ${place.name}`}
        lines={lines}
        columns={list === 'here' ? 6 : list === 'stray' ? 8 : 7}
        head={<ContentHead list={list} />}
        onKeyDown={chosen.onKeyDown}
        rowOf={(line) => ({
          draggable: true,
          className: chosen.lines.has(keyOfLine(line)) ? 'row-chosen' : '',
          onDragStart: (event) => {
            event.dataTransfer.effectAllowed = 'move';
            event.dataTransfer.setData('text/plain', line.name);
            desk.drag(dragged(line));
          },
          onDragEnd: () => desk.drag(null),
        })}
        cells={(line, index) => (
          <>
            <ChooseCell line={line} index={index} chosen={chosen} />
            <ThingCell line={line} address={address} />
            <PlaceCells line={line} places={places} list={list} within={place.id} />
            <td className="wide-only">{WORD_OF_KIND[line.kind]}</td>
            <td className="number">
              {showNumber(line.number)}
              {line.unit === null ? '' : ` ${line.unit}`}
            </td>
            <td className={valueClass(list)}>{showMoney(line.worth)}</td>
            <td className="number wide-only">{line.at === null ? '' : showTime(line.at, zone)}</td>
          </>
        )}
      />
    </ListFrame>
  );
}

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

function HomeList({ place, places, list, address }: ListProps) {
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

function ListFrame<T>({
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

export function PlaceLists(props: ListProps) {
  const isHomes = props.list === 'lives' || props.list === 'missing';
  // Another list begins anew: its lines are not those of the one before.
  return isHomes ? <HomeList key={props.list} {...props} /> : <ContentList key={props.list} {...props} />;
}
