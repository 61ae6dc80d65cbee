// The phone page: opens what the phone keeps, then shows the screen that comes next.
import { useCallback, useEffect, useState } from 'react';
import { z } from 'zod';
import { Button } from '../web/look/button.tsx';
import { Notice } from '../web/look/notice.tsx';
import { keepOffline, type OfflineState } from './offline/keep-offline.ts';
import { FirstVisit } from './screens/first-visit.tsx';
import { PageProvider, usePage } from './screens/page.tsx';
import { type Route, routeSchema, useRouter } from './screens/route.ts';
import { ScreenOf } from './screens/screen-of.tsx';
import { WithinReach } from './screens/within-reach.tsx';
import { askToPersistOnce } from './store/persist.ts';
import { openPhone, type Phone } from './store/phone.ts';
import { draftSchema } from './store/rows.ts';
import { stopsOffered, stopToOpen } from './store/stops-offered.ts';
import { type Sync, startSync } from './sync/sync.ts';

/** Where the page opens: on the screen that was open, if its stop still is; else on the stop that comes next. */
function openingOf(phone: Phone, draft: Route | null): Route {
  const { book } = phone.read();
  if (book === null) return { at: 'stops' };
  const now = Date.now();
  const next = stopToOpen(stopsOffered(book, now), now);
  if (next === null) return { at: 'stops' };
  const { stop, unfinished } = next;
  if (draft !== null && 'stopId' in draft && draft.stopId === stop.id) return draft;
  return unfinished ? { at: 'count', stopId: stop.id } : { at: 'stop', stopId: stop.id };
}

async function readDraft(phone: Phone): Promise<Route | null> {
  const draft = draftSchema.safeParse(await phone.database.get('head', 'draft'));
  const route = routeSchema.safeParse(draft.success ? draft.data.route : null);
  return route.success ? route.data : null;
}

interface Ready {
  readonly phone: Phone;
  readonly sync: Sync;
  readonly draft: Route | null;
}

async function getReady(): Promise<Ready> {
  const phone = await openPhone();
  const draft = await readDraft(phone);
  return { phone, sync: startSync(phone), draft };
}

function Screens({ phone, sync, draft, offline }: Ready & { readonly offline: OfflineState }) {
  const [first] = useState(() => openingOf(phone, draft));
  const keep = useCallback(
    (route: Route) => {
      // Only a convenience: where it can't be kept, the page opens on the stop.
      phone.database.put('head', { route, at: Date.now() }, 'draft').catch(() => {});
    },
    [phone],
  );
  const router = useRouter(first, keep);
  useEffect(() => void askToPersistOnce(phone.database), [phone]);
  return (
    <PageProvider phone={phone} sync={sync} router={router} offline={offline}>
      <CurrentScreen />
    </PageProvider>
  );
}

function CurrentScreen() {
  const { route } = usePage();
  // A screen begins anew for each thing it is about.
  return (
    <WithinReach key={JSON.stringify(route)} route={route}>
      <ScreenOf route={route} />
    </WithinReach>
  );
}

function WithBook({ ready }: { readonly ready: Ready }) {
  const { phone, sync } = ready;
  const [offline, setOffline] = useState<OfflineState>({ kind: 'preparing' });
  useEffect(() => void keepOffline(setOffline), []);
  const [hasBook, setHasBook] = useState(phone.read().book !== null);
  useEffect(() => {
    const look = () => setHasBook(phone.read().book !== null);
    look();
    return phone.listen(look);
  }, [phone]);
  return hasBook ? <Screens {...ready} offline={offline} /> : <FirstVisit sync={sync} />;
}

export function App() {
  const [ready, setReady] = useState<Ready | null>(null);
  const [failure, setFailure] = useState<string | null>(null);
  useEffect(() => {
    let isGone = false;
    getReady().then(
      (made) => !isGone && setReady(made),
      (error: unknown) => setFailure(z.instanceof(Error).safeParse(error).data?.message ?? String(error)),
    );
    return () => {
      isGone = true;
    };
  }, []);
  if (failure !== null) {
    return (
      <main className="screen">
        <Notice kind="trouble" title="This browser keeps nothing here">
          <p>
            The phone page needs to write on this phone ({failure}). Leave the private window, or make room,
            and open it again.
          </p>
        </Notice>
        <Button onClick={() => location.reload()}>Try again</Button>
      </main>
    );
  }
  if (ready === null) {
    return (
      <main className="screen">
        <p className="waiting">Opening what this phone keeps.</p>
      </main>
    );
  }
  return <WithBook ready={ready} />;
}
