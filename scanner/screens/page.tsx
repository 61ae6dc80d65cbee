// What every screen has at hand: the phone, its sync, the way to other screens, and the one way to write something down.
import { createContext, type ReactNode, useContext, useMemo, useState, useSyncExternalStore } from 'react';
import type { Fact } from '#domain/count-answers.ts';
import { assert } from '#domain/invariant.ts';
import type { Recorded } from '#domain/movement.ts';
import type { OfflineState } from '../offline/keep-offline.ts';
import type { Phone, PhoneState } from '../store/phone.ts';
import type { PhoneBook } from '../store/phone-book.ts';
import type { Sync, SyncState } from '../sync/sync.ts';
import type { Router } from './route.ts';

/** The last thing that was written, to be taken back on one press. */
export interface Done {
  readonly words: string;
  readonly lines: readonly Recorded[];
}

export interface Page extends Router {
  readonly phone: Phone;
  readonly sync: Sync;
  /** Whether the page itself is kept on this phone. */
  readonly offline: OfflineState;
  /** Writes down and says so in a few words; null when the phone could not keep it. */
  readonly act: (facts: readonly Fact[], words: string) => Promise<readonly Recorded[] | null>;
  readonly undo: (lines: readonly Recorded[], words: string) => Promise<void>;
}

/** How the last writing went. Apart from the page, so that a scan draws the bar below anew and not every line of a count. */
export interface Outcome {
  readonly done: Done | null;
  /** A sentence when the phone could not keep what was said. */
  readonly trouble: string | null;
}

const PageContext = createContext<Page | null>(null);
const OutcomeContext = createContext<Outcome>({ done: null, trouble: null });

const NOT_KEPT =
  'This was not kept: the phone could not write it, most likely because it is full. Make room, then say it again.';

/** What cancels these lines. */
export function voidsOf(lines: readonly Recorded[]): readonly Fact[] {
  return lines.flatMap((line): Fact[] => {
    if (line.kind === 'void') return [];
    const thingId = 'thingId' in line ? line.thingId : null;
    return [{ kind: 'void', stopId: line.stopId, round: line.round, note: null, voids: line.id, thingId }];
  });
}

interface GivenPage {
  readonly phone: Phone;
  readonly sync: Sync;
  readonly router: Router;
  readonly offline: OfflineState;
  readonly children: ReactNode;
}

export function PageProvider({ phone, sync, router, offline, children }: GivenPage) {
  const [done, setDone] = useState<Done | null>(null);
  const [trouble, setTrouble] = useState<string | null>(null);
  const page = useMemo((): Page => {
    const write = async (facts: readonly Fact[]) => {
      try {
        const lines = await phone.writeDown(facts);
        setTrouble(null);
        sync.wake();
        return lines;
      } catch (error) {
        console.warn('Not written.', error);
        setTrouble(NOT_KEPT);
        return null;
      }
    };
    const act: Page['act'] = async (facts, words) => {
      const lines = await write(facts);
      if (lines !== null) setDone({ words, lines });
      return lines;
    };
    const undo: Page['undo'] = async (lines, words) => {
      if ((await write(voidsOf(lines))) !== null) setDone({ words, lines: [] });
    };
    return { ...router, phone, sync, offline, act, undo };
  }, [phone, sync, router, offline]);
  const outcome = useMemo(() => ({ done, trouble }), [done, trouble]);
  return (
    <PageContext value={page}>
      <OutcomeContext value={outcome}>{children}</OutcomeContext>
    </PageContext>
  );
}

export const useOutcome = (): Outcome => useContext(OutcomeContext);

export function usePage(): Page {
  const page = useContext(PageContext);
  assert(page !== null, 'every screen stands inside the page');
  return page;
}

export function usePhoneState(): PhoneState {
  const { phone } = usePage();
  return useSyncExternalStore(phone.listen, phone.read);
}

export function useSyncState(): SyncState {
  const { sync } = usePage();
  return useSyncExternalStore(sync.listen, sync.read);
}

/** The book, on screens that are only shown once there is one. */
export function useBook(): PhoneBook {
  const { book } = usePhoneState();
  assert(book !== null, 'a screen with things is shown only once the catalogue is here');
  return book;
}
