// A table of any length: only the rows that are seen are drawn and asked for. A short one is drawn whole, so that it
// prints whole.
import { useVirtualizer } from '@tanstack/react-virtual';
import { type HTMLAttributes, type KeyboardEvent, type ReactNode, useEffect, useRef } from 'react';
import type { Lines } from '../data/place-lists.ts';
import { showNumber } from './words.ts';

const ROW_PX = 41;
/** Up to so many rows are drawn at once. */
const WHOLE_MAX = 100;

interface LongTableProps<T> {
  readonly caption: string;
  readonly lines: Lines<T>;
  readonly columns: number;
  readonly head: ReactNode;
  /** The cells of a line. */
  readonly cells: (line: T, index: number) => ReactNode;
  readonly rowOf?: (line: T, index: number) => HTMLAttributes<HTMLTableRowElement>;
  readonly onKeyDown?: (event: KeyboardEvent, scrollTo: (index: number) => void) => void;
}

interface Drawn {
  readonly indexes: readonly number[];
  readonly before: number;
  readonly after: number;
  readonly measure: (row: HTMLTableRowElement | null) => void;
  readonly scrollTo: (index: number) => void;
}

function useDrawn(all: number, box: { readonly current: HTMLElement | null }): Drawn {
  const isWhole = all <= WHOLE_MAX;
  const virtual = useVirtualizer({
    count: all,
    enabled: !isWhole,
    getScrollElement: () => box.current,
    estimateSize: () => ROW_PX,
    overscan: 12,
  });
  if (isWhole)
    return {
      indexes: Array.from({ length: all }, (_, index) => index),
      ...{ before: 0, after: 0, measure: () => {}, scrollTo: () => {} },
    };
  const items = virtual.getVirtualItems();
  const last = items.at(-1);
  return {
    indexes: items.map(({ index }) => index),
    before: items[0]?.start ?? 0,
    after: last ? virtual.getTotalSize() - last.end : 0,
    measure: virtual.measureElement,
    scrollTo: (index) => virtual.scrollToIndex(index, { align: 'auto' }),
  };
}

const Gap = ({ height, columns }: { readonly height: number; readonly columns: number }) =>
  height <= 0 ? null : (
    <tr className="long-gap">
      <td colSpan={columns} style={{ height }} />
    </tr>
  );

export function LongTable<T>({ caption, lines, columns, head, cells, rowOf, onKeyDown }: LongTableProps<T>) {
  const box = useRef<HTMLElement>(null);
  const all = lines.all ?? 0;
  const drawn = useDrawn(all, box);
  const [first = 0, last = 0] = [drawn.indexes[0], drawn.indexes.at(-1)];
  const { look } = lines;
  useEffect(() => look(first, last), [look, first, last]);
  return (
    <section ref={box} className="long-table" aria-label={caption}>
      <table aria-rowcount={all + 1} className={lines.isStale ? 'long-stale' : ''}>
        <caption className="unseen">{caption}</caption>
        <thead>{head}</thead>
        <tbody onKeyDown={onKeyDown ? (event) => onKeyDown(event, drawn.scrollTo) : undefined}>
          <Gap height={drawn.before} columns={columns} />
          {drawn.indexes.map((index) => {
            const line = lines.at(index);
            return (
              <tr
                key={index}
                ref={drawn.measure}
                data-index={index}
                aria-rowindex={index + 2}
                {...(line !== undefined && rowOf ? rowOf(line, index) : {})}
              >
                {line === undefined ? (
                  <td colSpan={columns} className="long-coming">
                    …
                  </td>
                ) : (
                  cells(line, index)
                )}
              </tr>
            );
          })}
          <Gap height={drawn.after} columns={columns} />
        </tbody>
      </table>
      {all > WHOLE_MAX ? (
        <p className="only-on-paper">
          These are {showNumber(drawn.indexes.length)} of {showNumber(all)} lines. Filter the list to print
          others.
        </p>
      ) : null}
    </section>
  );
}
