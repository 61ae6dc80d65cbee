// The tree of places, as the ARIA Authoring Practices describe one: arrows move, Enter chooses, one stop for Tab.
import { type KeyboardEvent, useMemo, useRef, useState } from 'react';
import { useNavigate } from 'react-router';
import { type Branch, chainFrom, hasVehicle, type Places } from '../data/places.ts';
import { showNumber, WORD_OF_PLACE } from './words.ts';

interface Row {
  readonly branch: Branch;
  readonly depth: number;
  readonly outer: string | null;
}

function rowsOf(
  branches: readonly Branch[],
  open: ReadonlySet<string>,
  depth = 1,
  outer: string | null = null,
) {
  const rows: Row[] = [];
  for (const branch of branches) {
    rows.push({ branch, depth, outer });
    if (open.has(branch.place.id)) rows.push(...rowsOf(branch.inside, open, depth + 1, branch.place.id));
  }
  return rows;
}

function branchesWithVehicles(branches: readonly Branch[]): readonly string[] {
  return branches
    .filter(hasVehicle)
    .flatMap(({ place, inside }) => [place.id, ...branchesWithVehicles(inside)]);
}

/** What stands open at first: everything around the chosen place, and the vehicles, which is where gear is. */
function firstOpen({ roots, byId }: Places, chosen: string | null): ReadonlySet<string> {
  const around = chosen === null ? [] : chainFrom(chosen, byId).slice(1);
  return new Set([...around.map(({ id }) => id), ...branchesWithVehicles(roots)]);
}

interface TreeState {
  readonly rows: readonly Row[];
  readonly open: ReadonlySet<string>;
  readonly setOpen: (id: string, isOpen: boolean) => void;
  readonly goTo: (id: string | null | undefined) => void;
  readonly choose: (id: string) => void;
}

/** The keys of a tree (WAI-ARIA Authoring Practices 1.2, pattern "Tree View"). */
function onTreeKey(event: KeyboardEvent, row: Row, at: number, tree: TreeState): void {
  const { branch, outer } = row;
  const { id } = branch.place;
  const isOpen = tree.open.has(id);
  const idAt = (index: number) => tree.rows[index]?.branch.place.id;
  const first = branch.inside[0]?.place.id;
  const deeds = new Map([
    ['ArrowDown', () => tree.goTo(idAt(at + 1))],
    ['ArrowUp', () => tree.goTo(idAt(at - 1))],
    ['Home', () => tree.goTo(idAt(0))],
    ['End', () => tree.goTo(idAt(tree.rows.length - 1))],
    ['ArrowRight', () => (first === undefined || isOpen ? tree.goTo(first) : tree.setOpen(id, true))],
    ['ArrowLeft', () => (isOpen && first !== undefined ? tree.setOpen(id, false) : tree.goTo(outer))],
    ['Enter', () => tree.choose(id)],
    [' ', () => tree.choose(id)],
  ]);
  const deed = deeds.get(event.key);
  if (deed === undefined || event.ctrlKey || event.metaKey || event.altKey) return;
  event.preventDefault();
  deed();
}

function TreeRow({
  row,
  at,
  tree,
  isChosen,
  hasFocus,
}: {
  readonly row: Row;
  readonly at: number;
  readonly tree: TreeState;
  readonly isChosen: boolean;
  readonly hasFocus: boolean;
}) {
  const { place, inside, things } = row.branch;
  const isOpen = tree.open.has(place.id);
  const isBranch = inside.length > 0;
  return (
    <div
      role="treeitem"
      data-place={place.id}
      aria-level={row.depth}
      aria-selected={isChosen}
      aria-expanded={isBranch ? isOpen : undefined}
      tabIndex={hasFocus ? 0 : -1}
      className={`tree-row tree-depth-${Math.min(row.depth, 8)}`}
      onClick={() => tree.choose(place.id)}
      onKeyDown={(event) => onTreeKey(event, row, at, tree)}
    >
      {/* A click on the sign opens and closes; the arrow keys do the same. */}
      <span
        className="tree-sign"
        aria-hidden="true"
        onClick={(event) => {
          if (!isBranch) return;
          event.stopPropagation();
          tree.setOpen(place.id, !isOpen);
        }}
      >
        {isBranch ? (isOpen ? '−' : '+') : ''}
      </span>
      <span className="tree-name">
        {place.name}{' '}
        {place.kind === 'compartment' ? null : <span className="tree-kind">{WORD_OF_PLACE[place.kind]}</span>}
      </span>
      <span className="number tree-number">{showNumber(things)}</span>
    </div>
  );
}

export function PlaceTree({
  places,
  chosen,
  labelledBy,
}: {
  readonly places: Places;
  readonly chosen: string | null;
  readonly labelledBy: string;
}) {
  const navigate = useNavigate();
  const list = useRef<HTMLDivElement>(null);
  const [open, setOpenSet] = useState(() => firstOpen(places, chosen));
  const [focused, setFocused] = useState(chosen);
  const rows = useMemo(() => rowsOf(places.roots, open), [places, open]);
  const focus = rows.some(({ branch }) => branch.place.id === focused) ? focused : rows[0]?.branch.place.id;
  const goTo: TreeState['goTo'] = (id) => {
    if (id === null || id === undefined) return;
    setFocused(id);
    list.current?.querySelector<HTMLElement>(`[data-place="${id}"]`)?.focus();
  };
  const setOpen: TreeState['setOpen'] = (id, isOpen) =>
    setOpenSet((before) => new Set(isOpen ? [...before, id] : [...before].filter((one) => one !== id)));
  const choose: TreeState['choose'] = (id) => {
    setFocused(id);
    setOpen(id, true);
    navigate(`/where/${id}`);
  };
  const tree = { rows, open, setOpen, goTo, choose };
  return (
    <div ref={list} role="tree" className="tree" aria-labelledby={labelledBy}>
      {rows.map((row, at) => (
        <TreeRow
          key={row.branch.place.id}
          row={row}
          at={at}
          tree={tree}
          isChosen={row.branch.place.id === chosen}
          hasFocus={row.branch.place.id === focus}
        />
      ))}
    </div>
  );
}
