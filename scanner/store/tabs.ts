// Several tabs of one browser share one database. Each tells the others what it wrote, or that all has to be read anew.
import { z } from 'zod';
import { waitingLineSchema } from './rows.ts';

const newsSchema = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('lines'), rows: z.array(waitingLineSchema) }),
  z.strictObject({ kind: z.literal('read-again') }),
]);
export type News = z.infer<typeof newsSchema>;

export interface Tabs {
  readonly tell: (news: News) => void;
  readonly close: () => void;
}

export function openTabs(hear: (news: News) => void): Tabs {
  const channel = new BroadcastChannel('tailcount');
  channel.addEventListener('message', (event) => {
    const news = newsSchema.safeParse(event.data);
    // A tab with an older page says things that this one does not know; reading again is always right.
    hear(news.success ? news.data : { kind: 'read-again' });
  });
  return { tell: (news) => channel.postMessage(news), close: () => channel.close() };
}

/** Runs `lead` in one tab at a time; the next tab takes over when this one is closed. `onWaiting`: another tab has it. */
export function leadAlone(lead: () => Promise<void>, onWaiting: () => void): void {
  if (!('locks' in navigator)) {
    void lead();
    return;
  }
  void navigator.locks.request('tailcount-sync', { ifAvailable: true }, async (lock) => {
    if (lock !== null) return lead();
    onWaiting();
    void navigator.locks.request('tailcount-sync', lead);
  });
}
