// The list of what is still out there, the most urgent first.
import type { StopId } from '#domain/ids.ts';
import type { StillOutLine } from '#domain/still-out.ts';
import { Line, Lines } from '../../web/look/line.tsx';
import { useBook, usePage } from './page.tsx';
import { outFacts, outWord } from './words.ts';

export function OutLines({
  lines,
  stopId,
}: {
  readonly lines: readonly StillOutLine[];
  readonly stopId: StopId | null;
}) {
  const book = useBook();
  const { go } = usePage();
  return (
    <Lines label="Still out there">
      {lines.map((line) => (
        <Line
          key={`${line.thingId} ${line.placeId ?? ''} ${line.lineId ?? ''}`}
          name={line.kind === 'item' ? line.name : `${line.number} × ${line.name}`}
          facts={outFacts(book, line)}
          state={
            line.why === 'not-found'
              ? { word: outWord(line.why), tone: 'bad', icon: 'missing' }
              : { word: outWord(line.why), tone: 'plain' }
          }
          onPress={() => go({ at: 'thing', thingId: line.thingId, stopId })}
        />
      ))}
    </Lines>
  );
}
