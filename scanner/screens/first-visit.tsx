// Before the catalogue is on the phone: how far it is, and what to do when it can't come.
import { useSyncExternalStore } from 'react';
import { Button } from '../../web/look/button.tsx';
import { Empty } from '../../web/look/empty.tsx';
import { Progress } from '../../web/look/progress.tsx';
import { Tape } from '../../web/look/tape.tsx';
import type { Sync, SyncState } from '../sync/sync.ts';

function Words({ state }: { readonly state: SyncState }) {
  if (state.kind === 'offline') {
    return (
      <Empty title="The service does not answer.">
        <p>
          On its first visit this phone needs the service once, to know what there is. Go where it can be
          reached; it is tried again all the time.
        </p>
      </Empty>
    );
  }
  if (state.kind === 'no-outfit') {
    return (
      <Empty title="There is no outfit yet.">
        <p>
          Begin it at the desk: name the outfit and bring in its list, or look around in the demo outfit. This
          page goes on by itself then.
        </p>
        <p>
          <a className="button" href="/">
            To the desk
          </a>
        </p>
      </Empty>
    );
  }
  if (state.kind === 'not-understood') {
    return (
      <Empty title="This page is older than the service, or newer.">
        <p>Reload it once with a connection.</p>
        <Button onClick={() => location.reload()}>Reload</Button>
      </Empty>
    );
  }
  return (
    <Progress
      label="Reading what there is, in kB"
      done={state.kind === 'loading' ? Math.round(state.bytes / 1_000) : 0}
    />
  );
}

export function FirstVisit({ sync }: { readonly sync: Sync }) {
  const state = useSyncExternalStore(sync.listen, sync.read);
  return (
    <main className="screen">
      <Tape level={1}>Tailcount</Tape>
      <Words state={state} />
      {state.kind === 'offline' || state.kind === 'no-outfit' ? (
        <Button onClick={sync.wake}>Try now</Button>
      ) : null}
    </main>
  );
}
