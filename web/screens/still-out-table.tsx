// A group of what is still out there, with its sum. Arrow keys go up and down; a letter does the next step of a line.
import type { KeyboardEvent } from 'react';
import { sumOut } from '#domain/out-line.ts';
import type { Places } from '../data/places.ts';
import { Tape } from '../look/tape.tsx';
import { WideTable } from './parts.tsx';
import { keyOf, type OutGroup } from './still-out-groups.ts';
import { OutRow, STEPS, type Step } from './still-out-row.tsx';
import { showMoney } from './words.ts';

/** "3 · €1,240.00", and how many lines the sum does not hold. */
function Figure({ group, seesValues }: { readonly group: OutGroup; readonly seesValues: boolean }) {
  const { lines, sums, unknown } = sumOut(group.lines);
  const rest = unknown > 0 && sums.length > 0 ? `, ${unknown} without a value` : '';
  return (
    <>
      {lines}
      {seesValues && sums.length > 0 ? (
        <span className="not-on-paper">{` · ${sums.map(showMoney).join(' + ')}${rest}`}</span>
      ) : null}
    </>
  );
}

const boxesOf = (): readonly HTMLElement[] => [...document.querySelectorAll<HTMLElement>('.out-box input')];

/** Moves the focus by rows, over the ends of groups; which row a key was pressed in is seen from its tick box. */
function moveFocus(row: Element | null, by: number): void {
  const boxes = boxesOf();
  const at = boxes.findIndex((box) => row?.contains(box));
  boxes[Math.min(boxes.length - 1, Math.max(0, at + by))]?.focus();
}

export interface OutActs {
  readonly selected: ReadonlySet<string>;
  readonly onSelect: (key: string, selected: boolean) => void;
  readonly onStep: (key: string, step: Step) => void;
}

function useRowKeys({ selected, onSelect, onStep }: OutActs, group: OutGroup) {
  return (event: KeyboardEvent<HTMLTableSectionElement>) => {
    if (event.ctrlKey || event.metaKey || event.altKey || !(event.target instanceof Element)) return;
    const row = event.target.closest('tr');
    const line = group.lines[row === null ? -1 : row.sectionRowIndex];
    if (line === undefined) return;
    const step = STEPS.find(([, , key]) => key === event.key)?.[0];
    if (event.key === 'ArrowDown' || event.key === 'ArrowUp')
      moveFocus(row, event.key === 'ArrowDown' ? 1 : -1);
    else if (event.key === 'x') onSelect(keyOf(line), !selected.has(keyOf(line)));
    else if (step !== undefined) onStep(keyOf(line), step);
    else return;
    event.preventDefault();
  };
}

interface OutTableProps {
  readonly group: OutGroup;
  readonly places: Places | null;
  readonly seesValues: boolean;
  readonly acts: OutActs;
}

export function OutTable({ group, places, seesValues, acts }: OutTableProps) {
  const onKeyDown = useRowKeys(acts, group);
  return (
    <section className="out-group">
      <Tape level={2} figure={<Figure group={group} seesValues={seesValues} />}>
        {group.name}
      </Tape>
      <WideTable name={group.name}>
        <table className="out-table">
          <thead>
            <tr>
              <th scope="col" className="out-box">
                <span className="unseen">Select</span>
              </th>
              <th scope="col">Thing</th>
              <th scope="col" className="out-why">
                Why
              </th>
              <th scope="col">Last put down</th>
              <th scope="col" className="number out-for">
                For
              </th>
              {seesValues ? (
                <th scope="col" className="number out-value not-on-paper">
                  Value new
                </th>
              ) : null}
              <th scope="col" className="out-steps not-on-paper">
                Next step
              </th>
            </tr>
          </thead>
          <tbody onKeyDown={onKeyDown}>
            {group.lines.map((line) => (
              <OutRow
                key={keyOf(line)}
                line={line}
                places={places}
                seesValues={seesValues}
                selected={acts.selected.has(keyOf(line))}
                onSelect={(selected) => acts.onSelect(keyOf(line), selected)}
                onStep={(step) => acts.onStep(keyOf(line), step)}
              />
            ))}
          </tbody>
        </table>
      </WideTable>
    </section>
  );
}
