// Keeps phone and service together while the page is open: sends what waits, then reads what others did. It says in one
// word how that goes, and never stops trying.
import type { Phone } from '../store/phone.ts';
import { leadAlone } from '../store/tabs.ts';
import { LOOK_EVERY_MS, waitAfter } from './backoff.ts';
import { followFeed, loadCatalogue } from './follow-feed.ts';
import { handOverDrawer } from './hand-over.ts';
import { measureClock } from './measure-clock.ts';
import { sendOutbox } from './send-outbox.ts';
import { sendStops } from './send-stops.ts';

export type SyncState =
  | { readonly kind: 'starting' }
  | { readonly kind: 'loading'; readonly bytes: number }
  | { readonly kind: 'together' }
  /** Another tab of this browser does it. */
  | { readonly kind: 'elsewhere' }
  | { readonly kind: 'offline' }
  | { readonly kind: 'no-outfit' }
  | { readonly kind: 'not-understood' };

export interface Sync {
  readonly read: () => SyncState;
  readonly listen: (listener: () => void) => () => void;
  /** Something was written, or the network is back: go now. */
  readonly wake: () => void;
  /** Reads the whole catalogue once more, as soon as the service answers. */
  readonly readAnew: () => void;
}

async function goRound(
  phone: Phone,
  say: (state: SyncState) => void,
  wish: { anew: boolean },
): Promise<SyncState> {
  if (!(await measureClock(phone.database, phone.clockRun()))) return { kind: 'offline' };
  const hadStops = phone.read().waitingStops.length > 0;
  if ((await sendStops(phone.database)) === 'silence') return { kind: 'offline' };
  if (hadStops) await phone.takeStops();
  if ((await sendOutbox(phone)) === 'silence') return { kind: 'offline' };
  if (phone.read().inDrawer > 0) await handOverDrawer(phone.database);
  const onBytes = (bytes: number) => say({ kind: 'loading', bytes });
  const followed = wish.anew ? await loadCatalogue(phone, onBytes) : await followFeed(phone, onBytes);
  if (wish.anew && followed.kind === 'up-to-date') wish.anew = false;
  if (followed.kind === 'up-to-date') {
    // A new catalogue may have put own lines back into the outbox.
    const again = phone.read().waiting.length > 0 ? await sendOutbox(phone) : 'sent';
    return { kind: again === 'sent' ? 'together' : 'offline' };
  }
  return followed.kind === 'silence' ? { kind: 'offline' } : followed;
}

/** A pause that can be cut short. */
function makePause() {
  let cut: () => void = () => {};
  let asked = false;
  return {
    cut: () => {
      asked = true;
      cut();
    },
    wait: async (ms: number) => {
      if (!asked) {
        await new Promise<void>((resolve) => {
          const timer = setTimeout(resolve, ms);
          cut = () => {
            clearTimeout(timer);
            resolve();
          };
        });
      }
      asked = false;
    },
  };
}

/** Begins, in one tab at a time; the other tabs hear of everything by way of that one. */
export function startSync(phone: Phone): Sync {
  let state: SyncState = { kind: 'starting' };
  const listeners = new Set<() => void>();
  const say = (next: SyncState) => {
    state = next;
    for (const listener of listeners) listener();
  };
  const pause = makePause();
  const wish = { anew: false };
  const lead = async () => {
    let failures = 0;
    for (;;) {
      const next = await goRound(phone, say, wish).catch((error: unknown): SyncState => {
        // The database of this phone said no (full, or closed by a newer page). What it holds stays.
        console.warn('The phone could not be brought together with the service just now.', error);
        return { kind: 'offline' };
      });
      say(next);
      failures = next.kind === 'together' ? 0 : failures + 1;
      const inView = document.visibilityState === 'visible';
      await pause.wait(failures === 0 ? LOOK_EVERY_MS : waitAfter(failures, Math.random(), inView));
    }
  };
  leadAlone(lead, () => say({ kind: 'elsewhere' }));
  let waited = phone.read().waiting.length;
  phone.listen(() => {
    const { length } = phone.read().waiting;
    // Also what another tab wrote.
    if (length > waited) pause.cut();
    waited = length;
  });
  addEventListener('online', pause.cut);
  document.addEventListener('visibilitychange', () => {
    if (document.visibilityState === 'visible') pause.cut();
  });
  return {
    read: () => state,
    listen: (listener) => {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    wake: pause.cut,
    readAnew: () => {
      wish.anew = true;
      pause.cut();
    },
  };
}
