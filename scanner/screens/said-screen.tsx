// Everything that was said at a stop, the latest first; each line can be taken back.
import { livingLines } from '#domain/ledger.ts';
import { Empty } from '../../web/look/empty.tsx';
import { Frame } from './frame.tsx';
import { useBook } from './page.tsx';
import type { RouteAt } from './route.ts';
import { SaidLines } from './said-lines.tsx';

export function SaidScreen({ route }: { readonly route: RouteAt<'said'> }) {
  const book = useBook();
  const lines = livingLines([...book.lines.values()]).filter((line) => line.stopId === route.stopId);
  return (
    <Frame title="What was said" figure={String(lines.length)}>
      {lines.length === 0 ? (
        <Empty title="Nothing yet.">
          <p>Every scan and every tap at this stop stands here, and can be taken back.</p>
        </Empty>
      ) : (
        <SaidLines lines={lines} />
      )}
    </Frame>
  );
}
