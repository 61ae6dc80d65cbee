// Lines of a count as a list; each can be pressed. A row is drawn anew only when what it says has changed, and of a very long
// list the first rows stand for the rest until somebody asks for all.
import { memo, useState } from 'react';
import type { CountLine } from '#domain/count-shape.ts';
import type { StopId } from '#domain/ids.ts';
import { Button } from '../../web/look/button.tsx';
import { Line, type LineState, Lines } from '../../web/look/line.tsx';
import type { PhoneBook } from '../store/phone-book.ts';
import { usePage } from './page.tsx';
import { lineFacts, lineName, stateOf } from './words.ts';

export const lineKey = (line: Pick<CountLine, 'thingId' | 'placeId'>): string =>
  `${line.thingId} ${line.placeId ?? ''}`;

// More than anybody scrolls through in the rain: beyond it one goes by compartment, or by name.
const ROWS_AT_FIRST = 60;

interface RowProps {
  readonly name: string;
  readonly facts: string;
  readonly word: string;
  readonly tone: LineState['tone'];
  readonly icon: LineState['icon'];
  readonly stopId: StopId;
  readonly thingId: CountLine['thingId'];
  readonly placeId: CountLine['placeId'];
}

const Row = memo(function Row(props: RowProps) {
  const { name, facts, word, tone, icon, stopId, thingId, placeId } = props;
  const { go } = usePage();
  return (
    <Line
      name={name}
      facts={facts}
      state={icon === undefined ? { word, tone } : { word, tone, icon }}
      onPress={() => go({ at: 'line', stopId, thingId, placeId })}
    />
  );
});

export interface CountLinesProps {
  readonly label: string;
  readonly lines: readonly CountLine[];
  readonly stopId: StopId;
  readonly book: PhoneBook;
}

export const CountLines = memo(function CountLines({ label, lines, stopId, book }: CountLinesProps) {
  const [all, setAll] = useState(false);
  const now = Date.now();
  const shown = all || lines.length <= ROWS_AT_FIRST ? lines : lines.slice(0, ROWS_AT_FIRST);
  return (
    <>
      <Lines label={label}>
        {shown.map((line) => {
          const { word, tone, icon } = stateOf(line);
          return (
            <Row
              key={lineKey(line)}
              name={lineName(line)}
              facts={lineFacts(book, line, now)}
              word={word}
              tone={tone}
              icon={icon}
              stopId={stopId}
              thingId={line.thingId}
              placeId={line.placeId}
            />
          );
        })}
      </Lines>
      {shown.length === lines.length ? null : (
        <Button wide onClick={() => setAll(true)}>
          Show all {lines.length}
        </Button>
      )}
    </>
  );
});
