// Lines of a count as a list; each can be pressed.
import type { CountLine } from '#domain/count-shape.ts';
import type { StopId } from '#domain/ids.ts';
import { Line, Lines } from '../../web/look/line.tsx';
import { useBook, usePage } from './page.tsx';
import { lineFacts, lineName, stateOf } from './words.ts';

export const lineKey = (line: CountLine): string => `${line.thingId} ${line.placeId ?? ''}`;

export function CountLines({
  label,
  lines,
  stopId,
}: {
  readonly label: string;
  readonly lines: readonly CountLine[];
  readonly stopId: StopId;
}) {
  const book = useBook();
  const { go } = usePage();
  const now = Date.now();
  return (
    <Lines label={label}>
      {lines.map((line) => (
        <Line
          key={lineKey(line)}
          name={lineName(line)}
          facts={lineFacts(book, line, now)}
          state={stateOf(line)}
          onPress={() => go({ at: 'line', stopId, thingId: line.thingId, placeId: line.placeId })}
        />
      ))}
    </Lines>
  );
}
