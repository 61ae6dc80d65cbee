// Everything not found yet, left, or with somebody, across all stops, until it is back or written off.
import { Empty } from '../../web/look/empty.tsx';
import { Frame } from './frame.tsx';
import { OutLines } from './out-lines.tsx';
import { useStillOut } from './use-out.ts';

export function OutScreen() {
  const lines = useStillOut();
  return (
    <Frame title="Still out there" figure={String(lines.length)}>
      {lines.length === 0 ? (
        <Empty title="Nothing is out there.">
          <p>What is not found at a wrap shows up here until it is back.</p>
        </Empty>
      ) : (
        <OutLines lines={lines} stopId={null} />
      )}
    </Frame>
  );
}
