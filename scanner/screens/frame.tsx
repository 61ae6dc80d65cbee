// Around every screen: the way back, its name on a strip of tape, how phone and service stand, and the bar that undoes.
import { type ReactNode, useEffect, useRef } from 'react';
import { Button } from '../../web/look/button.tsx';
import { Icon } from '../../web/look/icon.tsx';
import { Notice } from '../../web/look/notice.tsx';
import { Tape } from '../../web/look/tape.tsx';
import { UndoBar } from '../../web/look/undo-bar.tsx';
import { useOutcome, usePage, usePhoneState, useSyncState } from './page.tsx';
import { phoneZone, timeText } from './words.ts';

interface FrameProps {
  readonly title: string;
  readonly figure?: string;
  readonly withBack?: boolean;
  readonly children: ReactNode;
}

/** One line on whether everything that was said here is with the service. Pressed, it shows more. */
function SyncLine() {
  const { go } = usePage();
  const { waiting, waitingStops, inDrawer } = usePhoneState();
  const sync = useSyncState();
  const number = waiting.length + waitingStops.length;
  const first = waiting[0]?.line.deviceAt ?? waitingStops[0]?.madeAt ?? null;
  const since = first === null ? '' : ` since ${timeText(first, phoneZone(), Date.now())}`;
  const waits = number === 0 ? null : `${number} ${number === 1 ? 'waits' : 'wait'}${since}`;
  const offline = sync.kind === 'offline' ? 'offline' : null;
  const older = sync.kind === 'not-understood' ? 'reload this page once' : null;
  const reading = sync.kind === 'loading' ? 'reading the catalogue' : null;
  const drawer = inDrawer === 0 ? null : `${inDrawer} in the drawer`;
  const parts = [offline, older, reading, waits, drawer].filter((part) => part !== null);
  const calm = sync.kind === 'starting' ? 'asking the service' : 'all with the service';
  return (
    <button type="button" className="sync-line" onClick={() => go({ at: 'settings' })}>
      {offline === null ? null : <Icon name="offline" />}
      <span className="unseen">Phone and service: </span>
      <span role="status">{parts.length === 0 ? calm : parts.join(' · ')}</span>
    </button>
  );
}

export function Frame({ title, figure, withBack = true, children }: FrameProps) {
  const { back, undo } = usePage();
  const { done, trouble } = useOutcome();
  const main = useRef<HTMLElement>(null);
  useEffect(() => {
    // Whoever hears the page or uses keys begins at the top of the new screen.
    main.current?.focus({ preventScroll: true });
  }, []);
  useEffect(() => {
    document.title = `${title} · Tailcount`;
  }, [title]);
  return (
    <>
      <header className="top">
        {withBack ? (
          <Button kind="quiet" onClick={back}>
            Back
          </Button>
        ) : (
          <span />
        )}
        <SyncLine />
      </header>
      <main className="screen" ref={main} tabIndex={-1}>
        <Tape level={1} {...(figure === undefined ? {} : { figure })}>
          {title}
        </Tape>
        {trouble === null ? null : (
          <Notice kind="trouble">
            <p>{trouble}</p>
          </Notice>
        )}
        {children}
      </main>
      {done === null ? null : (
        <footer className="bottom">
          {done.lines.length === 0 ? (
            <p className="undo-bar" role="status">
              {done.words}
            </p>
          ) : (
            <UndoBar done={done.words} onUndo={() => void undo(done.lines, `Taken back: ${done.words}`)} />
          )}
        </footer>
      )}
    </>
  );
}

/** A section of a screen under a strip of tape. */
export function Section({
  title,
  figure,
  children,
}: {
  readonly title: string;
  readonly figure?: string;
  readonly children: ReactNode;
}) {
  return (
    <section className="section">
      <Tape level={2} {...(figure === undefined ? {} : { figure })}>
        {title}
      </Tape>
      {children}
    </section>
  );
}
