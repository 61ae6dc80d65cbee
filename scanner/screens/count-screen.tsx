// Back aboard: what is still open is always in view, the worst to lose first; the compartments wait for an answer below. A scan
// draws its own answer and nothing else; the parts below follow with the count.
import { memo, useMemo, useState } from 'react';
import { isOpen } from '#domain/count-compartments.ts';
import type { CompartmentAnswer, Count, CountLine } from '#domain/count-shape.ts';
import { Button } from '../../web/look/button.tsx';
import { Line, Lines } from '../../web/look/line.tsx';
import { Notice } from '../../web/look/notice.tsx';
import { CountLines, type CountLinesProps } from './count-lines.tsx';
import { Frame, Section } from './frame.tsx';
import { usePage } from './page.tsx';
import type { RouteAt } from './route.ts';
import { ScanPanel } from './scan-panel.tsx';
import { StillIn } from './still-in.tsx';
import { useScanning } from './use-scanning.ts';
import { useStop } from './use-stop.ts';
import { useVerdictWays } from './use-verdict-ways.ts';
import { CHECK_WORDS, countText, whoseWord } from './words.ts';

const URGENT_IN_VIEW = 5;

function answerState({ answer, open }: CompartmentAnswer) {
  if (answer === 'not-opened') return { word: 'not opened', tone: 'bad', icon: 'missing' } as const;
  if (answer !== null && open === 0)
    return { word: CHECK_WORDS[answer], tone: 'good', icon: 'tick' } as const;
  return { word: open === 0 ? 'waits' : `${open} open`, tone: 'ask', icon: 'open' } as const;
}

const Compartments = memo(function Compartments({ count }: { readonly count: Count }) {
  const { go } = usePage();
  const waiting = count.compartments.filter(({ answer, open }) => answer === null || open > 0).length;
  return (
    <Section title="Compartments" figure={waiting === 0 ? 'all answered' : `${waiting} wait`}>
      <Lines label="Compartments">
        {count.compartments.map((compartment) => (
          <Line
            key={compartment.placeId}
            name={compartment.name}
            facts={countText(compartment.lines, 'line', 'lines')}
            state={answerState(compartment)}
            onPress={() => go({ at: 'compartment', stopId: count.stopId, placeId: compartment.placeId })}
          />
        ))}
      </Lines>
    </Section>
  );
});

const Extras = memo(function Extras({ count }: { readonly count: Count }) {
  const { phone, undo } = usePage();
  if (count.extras.length === 0) return null;
  const takeBack = (lineId: Count['extras'][number]['lineId'], words: string) => {
    const line = phone.read().book?.lines.get(lineId);
    if (line !== undefined) void undo([line], words);
  };
  return (
    <Section title="Scanned besides" figure={String(count.extras.length)}>
      <Lines label="Scanned besides">
        {count.extras.map((extra) => (
          <Line
            key={extra.lineId}
            name={extra.name ?? extra.code ?? 'A code'}
            facts={[extra.whose === null ? 'unknown' : whoseWord(extra.whose), extra.note]
              .filter(Boolean)
              .join(' · ')}
            state={{ word: 'take back', tone: 'plain' }}
            onPress={() => takeBack(extra.lineId, 'Taken back.')}
          />
        ))}
      </Lines>
    </Section>
  );
});

function Closing({ count }: { readonly count: Count }) {
  const { go } = usePage();
  const { notFound } = count.sums;
  const waits = count.compartments.filter(({ answer }) => answer === null).length;
  const open = count.lines.filter(isOpen).length;
  if (!count.mayClose) {
    return (
      <p className="small">
        It can be closed once every line and every compartment has an answer:{' '}
        {countText(open, 'line', 'lines')} and {countText(waits, 'compartment', 'compartments')} wait.
      </p>
    );
  }
  return (
    <>
      {notFound === 0 ? null : (
        <Notice kind="caution">
          <p>{countText(notFound, 'thing is', 'things are')} not found yet.</p>
        </Notice>
      )}
      <Button kind="main" wide icon="count" onClick={() => go({ at: 'close', stopId: count.stopId })}>
        {count.allAboard ? 'Everything is aboard: close' : 'Close the count'}
      </Button>
    </>
  );
}

/** What has an answer, drawn only while somebody looks at it. */
function Answered(props: Omit<CountLinesProps, 'label'>) {
  const [open, setOpen] = useState(false);
  if (props.lines.length === 0) return null;
  return (
    <details onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>Answered: {props.lines.length}</summary>
      {open ? <CountLines label="Answered" {...props} /> : null}
    </details>
  );
}

interface Parts {
  readonly open: readonly CountLine[];
  readonly urgent: readonly CountLine[];
  readonly asWell: readonly CountLine[];
  readonly answered: readonly CountLine[];
}

function partsOf(count: Count | null): Parts {
  const lines = count?.lines ?? [];
  const open = lines.filter(isOpen);
  const [urgent, asWell] = [open.slice(0, URGENT_IN_VIEW), open.slice(URGENT_IN_VIEW)];
  return { open, urgent, asWell, answered: lines.filter((line) => !isOpen(line)) };
}

export function CountScreen({ route }: { readonly route: RouteAt<'count'> }) {
  const { stopId } = route;
  const view = useStop(stopId);
  const { replace, go } = usePage();
  const scanning = useScanning(
    'aboard',
    (mode) => view?.scanContext(mode) ?? null,
    () => replace({ at: 'going-in', stopId }),
  );
  useVerdictWays(scanning, view, 'aboard');
  const count = view?.count ?? null;
  const { open, urgent, asWell, answered } = useMemo(() => partsOf(count), [count]);
  if (view === null || count === null) {
    return (
      <Frame title="No count here">
        <Button onClick={() => replace({ at: 'stop', stopId })}>To the stop</Button>
      </Frame>
    );
  }
  const { book } = view;
  return (
    <Frame title={view.stop.name} figure={`${open.length} open`}>
      <ScanPanel scanning={scanning} />
      {open.length === 0 ? null : (
        <Section title="Still open" figure={`${open.length} of ${count.lines.length}`}>
          <CountLines label="Still open" lines={urgent} stopId={stopId} book={book} />
        </Section>
      )}
      <StillIn view={view} />
      <Closing count={count} />
      <Compartments count={count} />
      {asWell.length === 0 ? null : (
        <Section title="Open as well" figure={String(asWell.length)}>
          <CountLines label="Open as well" lines={asWell} stopId={stopId} book={book} />
        </Section>
      )}
      <Extras count={count} />
      <div className="row">
        <Button icon="going-in" onClick={() => go({ at: 'going-in', stopId })}>
          Going in
        </Button>
        <Button icon="find" onClick={() => go({ at: 'find', stopId })}>
          Find a thing
        </Button>
        <Button icon="undo" onClick={() => go({ at: 'said', stopId })}>
          What was said
        </Button>
        <Button icon="battery" onClick={() => go({ at: 'lists', stopId })}>
          Refill and tidy
        </Button>
        <Button icon="count" onClick={() => go({ at: 'sheet', stopId })}>
          Wrap sheet
        </Button>
        <Button icon="place" onClick={() => go({ at: 'stops' })}>
          Stops
        </Button>
      </div>
      <Answered lines={answered} stopId={stopId} book={book} />
    </Frame>
  );
}
