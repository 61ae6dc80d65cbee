// The lists of a place: what is in it, what is open, what is to be put away, what lives there, and what of that is missing.
import './place-lists.css';
import type { MouseEvent } from 'react';
import { Link } from 'react-router';
import type { ContentLine } from '#domain/where.ts';
import { askContents, useLines } from '../data/place-lists.ts';
import { type Movable, movableOf } from '../data/place-moves.ts';
import type { Places } from '../data/places.ts';
import { Button } from '../look/button.tsx';
import { PlaceChain, RefusedNotice, useOutfit } from './parts.tsx';
import { type ChosenLines, keyOfLine, useChosenLines } from './place-chosen.ts';
import { HomeList } from './place-homes.tsx';
import { ListFrame, type ListProps, pathOf } from './place-list-frame.tsx';
import { useMoveKey } from './place-move-key.ts';
import { LongTable } from './place-table.tsx';
import type { ListName, WhereAddress } from './where-address.ts';
import { showDate, showMoney, showNumber, showTime, WORD_OF_KIND, WORD_OF_WHOSE } from './words.ts';

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

export function PlaceLists(props: ListProps) {
  const isHomes = props.list === 'lives' || props.list === 'missing';
  // Another list begins anew: its lines are not those of the one before.
  return isHomes ? <HomeList key={props.list} {...props} /> : <ContentList key={props.list} {...props} />;
}
