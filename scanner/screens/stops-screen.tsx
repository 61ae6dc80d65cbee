// Where one begins: a count that was walked away from comes first, then a new stop, then today's stops.

import { Button } from '../../web/look/button.tsx';
import { Choice, Choices } from '../../web/look/choice.tsx';
import { Line, Lines } from '../../web/look/line.tsx';
import { Notice } from '../../web/look/notice.tsx';
import { outOfReach } from '../store/out-of-reach.ts';
import { type OfferedStop, stopsOffered } from '../store/stops-offered.ts';
import { Frame, Section } from './frame.tsx';
import { newStopHere } from './new-stop.ts';
import { useBook, usePage } from './page.tsx';
import { countBy } from './use-stop.ts';
import { countText, timeText } from './words.ts';

function StopLine({ offered }: { readonly offered: OfferedStop }) {
  const book = useBook();
  const { go } = usePage();
  const { stop, unfinished, closed, round } = offered;
  const beyond = unfinished ? outOfReach(book, stop.id) : null;
  const count = unfinished && round !== null && beyond === null ? countBy(book, stop, round) : null;
  const open = count?.lines.filter((line) => line.state === 'open' || line.state === 'short').length ?? 0;
  const state = unfinished
    ? ({ word: beyond === null ? `${open} still open` : 'too long ago', tone: 'ask', icon: 'open' } as const)
    : closed
      ? ({ word: 'closed', tone: 'good', icon: 'tick' } as const)
      : undefined;
  return (
    <Line
      name={stop.name}
      facts={[stop.jobName, timeText(offered.lastAt, stop.zone, Date.now())].filter(Boolean).join(' · ')}
      {...(state === undefined ? {} : { state })}
      onPress={() =>
        go(
          unfinished ? { at: 'count', stopId: stop.id } : { at: closed ? 'closed' : 'stop', stopId: stop.id },
        )
      }
    />
  );
}

export function StopsScreen() {
  const book = useBook();
  const { go, phone, sync, offline } = usePage();
  const offered = stopsOffered(book, Date.now());
  const unfinished = offered.filter((known) => known.unfinished);
  const others = offered.filter((known) => !known.unfinished);
  const begin = async (kind: 'location' | 'hotel') => {
    const make = newStopHere(book, kind, Date.now());
    await phone.makeStop(make);
    sync.wake();
    go({ at: 'stop', stopId: make.id });
  };
  return (
    <Frame title={book.outfit.name} withBack={false}>
      {offline.kind === 'not-active' ? (
        <Notice kind="caution">
          <p>{offline.sentence}</p>
        </Notice>
      ) : null}
      {unfinished.length === 0 ? null : (
        <Section title="Not finished" figure={countText(unfinished.length, 'count', 'counts')}>
          <Lines label="Counts that are not finished">
            {unfinished.map((known) => (
              <StopLine key={known.stop.id} offered={known} />
            ))}
          </Lines>
        </Section>
      )}
      <Choices>
        <Choice
          name="New stop here"
          more="name it later"
          icon="place"
          main={unfinished.length === 0}
          onChoose={() => void begin('location')}
        />
        <Choice
          name="New hotel here"
          more="counted in the morning"
          icon="place"
          onChoose={() => void begin('hotel')}
        />
      </Choices>
      {others.length === 0 ? null : (
        <Section title="Today">
          <Lines label="Stops of today">
            {others.map((known) => (
              <StopLine key={known.stop.id} offered={known} />
            ))}
          </Lines>
        </Section>
      )}
      <div className="row">
        <Button icon="missing" onClick={() => go({ at: 'out' })}>
          Still out there
        </Button>
        <Button icon="find" onClick={() => go({ at: 'find', stopId: null })}>
          Find a thing
        </Button>
        <Button icon="more" onClick={() => go({ at: 'settings' })}>
          Settings
        </Button>
      </div>
    </Frame>
  );
}
