// The tree of places, as the ARIA Authoring Practices describe one: arrows move, letters jump, Enter chooses, one stop
// for Tab. Only the rows that are seen are drawn.
import './place-tree.css';
import { defaultRangeExtractor, useVirtualizer } from '@tanstack/react-virtual';
import { type DragEvent, type KeyboardEvent, useEffect, useMemo, useRef, useState } from 'react';
import { movablePlace } from '../data/place-moves.ts';
import type { Branch, Places } from '../data/places.ts';
import { useOutfit } from './parts.tsx';
import { RoundValue, sayMatters } from './place-figures.tsx';
import type { MoveDesk } from './place-move.tsx';
import { deedOfKey, type Row, rowsOf, type TreeDeeds } from './place-tree-keys.ts';
import type { WhereAddress } from './where-address.ts';
import { showNumber, WORD_OF_PLACE } from './words.ts';

const ROW_PX = 37;
/** So long something is held over a closed branch until it opens. */
const HOLD_MS = 700;

interface TreeRowProps {
  readonly row: Row;
  readonly address: WhereAddress;
  readonly isChosen: boolean;
  readonly hasFocus: boolean;
  readonly isTarget: boolean;
  readonly onKeyDown: (event: KeyboardEvent) => void;
  readonly drag: TreeDrag;
}

interface TreeDrag {
  readonly start: (event: DragEvent, branch: Branch) => void;
  readonly over: (event: DragEvent, branch: Branch) => void;
  readonly leave: () => void;
  readonly end: () => void;
  readonly drop: (event: DragEvent, branch: Branch) => void;
}

function RowNumbers({ branch }: { readonly branch: Branch }) {
  const { currency } = useOutfit();
  return (
    <>
      <span className="number tree-number">{showNumber(branch.place.things)}</span>
      <span className="number tree-value">
        <RoundValue figures={branch.place} currency={currency} />
      </span>
    </>
  );
}

function TreeRow({ row, address, isChosen, hasFocus, isTarget, onKeyDown, drag }: TreeRowProps) {
  const { place, inside } = row.branch;
  const isOpen = address.open.has(place.id);
  const isBranch = inside.length > 0;
  const matters = sayMatters(place);
  return (
    <div
      role="treeitem"
      data-place={place.id}
      aria-level={row.depth}
      aria-setsize={row.siblings}
      aria-posinset={row.position}
      aria-selected={isChosen}
      aria-expanded={isBranch ? isOpen : undefined}
      tabIndex={hasFocus ? 0 : -1}
      draggable
      className={`tree-row tree-depth-${Math.min(row.depth, 8)}${isTarget ? ' tree-target' : ''}`}
      onClick={() => address.choose(place.id)}
      onKeyDown={onKeyDown}
      onDragStart={(event) => drag.start(event, row.branch)}
      onDragOver={(event) => drag.over(event, row.branch)}
      onDragLeave={drag.leave}
      onDragEnd={drag.end}
      onDrop={(event) => drag.drop(event, row.branch)}
    >
      {/* A click on the sign opens and closes; the arrow keys do the same. */}
      <span
        className="tree-sign"
        aria-hidden="true"
        onClick={(event) => {
          if (!isBranch) return;
          event.stopPropagation();
          address.setOpen(place.id, !isOpen);
        }}
      >
        {isBranch ? (isOpen ? '−' : '+') : ''}
      </span>
      <span className="tree-name">
        {place.name}{' '}
        {place.kind === 'compartment' ? null : <span className="tree-kind">{WORD_OF_PLACE[place.kind]}</span>}
        {matters === '' ? null : <span className="tree-matters tone-bad"> {matters}</span>}
      </span>
      <RowNumbers branch={row.branch} />
    </div>
  );
}

/** What is dragged over the tree: which row it would fall on, and what happens when it does. */
function useTreeDrag(places: Places, address: WhereAddress, desk: MoveDesk) {
  const [target, setTarget] = useState<string | null>(null);
  const hold = useRef<ReturnType<typeof setTimeout>>(undefined);
  useEffect(() => () => clearTimeout(hold.current), []);
  const leave = () => {
    clearTimeout(hold.current);
    setTarget(null);
  };
  const drag: TreeDrag = {
    leave,
    end: () => {
      leave();
      desk.drag(null);
    },
    start: (event, { place }) => {
      const moved = movablePlace(place, places);
      event.dataTransfer.effectAllowed = 'move';
      event.dataTransfer.setData('text/plain', place.name);
      desk.drag(typeof moved === 'string' ? moved : [moved]);
    },
    over: (event, { place, inside }) => {
      if (!desk.isDragging()) return;
      event.preventDefault();
      if (target === place.id) return;
      leave();
      setTarget(place.id);
      if (inside.length > 0 && !address.open.has(place.id))
        hold.current = setTimeout(() => address.setOpen(place.id, true), HOLD_MS);
    },
    drop: (event, { place }) => {
      event.preventDefault();
      leave();
      desk.drop(place.id);
    },
  };
  return { target, drag };
}

interface PlaceTreeProps {
  readonly places: Places;
  readonly address: WhereAddress;
  readonly desk: MoveDesk;
  readonly labelledBy: string;
  /** Puts a fixed place before or behind its neighbour. */
  readonly onOrder: (branch: Branch, by: -1 | 1) => void;
}

export function PlaceTree({ places, address, desk, labelledBy, onOrder }: PlaceTreeProps) {
  const box = useRef<HTMLDivElement>(null);
  const rows = useMemo(() => rowsOf(places.roots, address.open), [places, address.open]);
  const [focused, setFocused] = useState(address.chosen);
  const typed = useRef({ text: '', at: 0 });
  const wantsFocus = useRef(false);
  const focusAt = Math.max(
    0,
    rows.findIndex(({ branch }) => branch.place.id === focused),
  );
  const { target, drag } = useTreeDrag(places, address, desk);
  const drawn = useVirtualizer({
    count: rows.length,
    getScrollElement: () => box.current,
    estimateSize: () => ROW_PX,
    overscan: 10,
    getItemKey: (index) => rows[index]?.branch.place.id ?? index,
    // The row with the focus stays in the page, or the keyboard would lose it.
    rangeExtractor: (range) => [...new Set([...defaultRangeExtractor(range), focusAt])].sort((a, b) => a - b),
  });
  const chosenAt = rows.findIndex(({ branch }) => branch.place.id === address.chosen);
  // The chosen place comes into view when it is chosen, not whenever a row above it opens.
  const shown = useRef<string | null>(null);
  useEffect(() => {
    if (chosenAt < 0 || shown.current === address.chosen) return;
    shown.current = address.chosen;
    drawn.scrollToIndex(chosenAt, { align: 'auto' });
  });
  useEffect(() => {
    if (!wantsFocus.current) return;
    wantsFocus.current = false;
    box.current?.querySelector<HTMLElement>(`[data-place="${focused}"]`)?.focus();
  });
  const deeds: TreeDeeds = {
    goTo: (id) => {
      if (id === null || id === undefined) return;
      wantsFocus.current = true;
      setFocused(id);
    },
    choose: (id) => {
      setFocused(id);
      address.choose(id);
    },
    setOpen: address.setOpen,
    move: ({ place }) => {
      const moved = movablePlace(place, places);
      if (typeof moved === 'string') desk.refuse(moved);
      else desk.begin([moved], null);
    },
    order: onOrder,
  };
  const onKeyDown = (event: KeyboardEvent, at: number) => {
    const deed = deedOfKey(event, { rows, at, open: address.open, typed: typed.current }, deeds);
    if (deed === null) return;
    event.preventDefault();
    deed();
  };
  return (
    <div ref={box} role="tree" className="tree" aria-labelledby={labelledBy}>
      <div className="tree-rows" role="none" style={{ height: drawn.getTotalSize() }}>
        {drawn.getVirtualItems().map(({ index, key, start }) => {
          const row = rows[index];
          return row === undefined ? null : (
            <div
              key={key}
              role="none"
              ref={drawn.measureElement}
              data-index={index}
              className="tree-slot"
              style={{ transform: `translateY(${start}px)` }}
            >
              <TreeRow
                row={row}
                address={address}
                isChosen={index === chosenAt}
                hasFocus={index === focusAt}
                isTarget={row.branch.place.id === target}
                onKeyDown={(event) => onKeyDown(event, index)}
                drag={drag}
              />
            </div>
          );
        })}
      </div>
    </div>
  );
}
