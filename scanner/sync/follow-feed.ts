// Keeps the book of this phone: a catalogue first, then the feed from its cursor, page by page.
import { catalogueSchema, feedPageSchema } from '#domain/feed.ts';
import { sendKeptAgain } from '../store/keep-catalogue.ts';
import type { Phone } from '../store/phone.ts';
import { linesIn, makesStale } from '../store/phone-book.ts';
import { ask } from './ask.ts';

export type Followed =
  | { readonly kind: 'up-to-date' }
  | { readonly kind: 'silence' }
  /** The service has no outfit yet; the desk has to begin one. */
  | { readonly kind: 'no-outfit' }
  /** The page of this phone and the service do not understand each other: one of them is older. */
  | { readonly kind: 'not-understood' };

/** Takes a whole catalogue. `onBytes` is told how much of it has come. */
export async function loadCatalogue(phone: Phone, onBytes: (bytes: number) => void): Promise<Followed> {
  const reply = await ask('/api/catalogue', { onBytes });
  if (reply.kind === 'silence') return { kind: 'silence' };
  if (reply.kind === 'refused')
    return { kind: reply.problem === 'no-outfit' ? 'no-outfit' : 'not-understood' };
  const catalogue = catalogueSchema.safeParse(reply.body);
  if (!catalogue.success) return { kind: 'not-understood' };
  await phone.takeCatalogue(catalogue.data);
  return { kind: 'up-to-date' };
}

/**
 * Reads the feed to its end. Where the cursor is not known (a restored database) all own lines of 60 days are sent
 * again; there, and where a line lies before the book begins, a new catalogue takes the place of the old.
 */
export async function followFeed(phone: Phone, onBytes: (bytes: number) => void): Promise<Followed> {
  for (;;) {
    const { head, book } = phone.read();
    if (head === null || book === null) return loadCatalogue(phone, onBytes);
    const { no, token } = head.cursor;
    const reply = await ask(`/api/feed?no=${no}&token=${encodeURIComponent(token)}`);
    if (reply.kind === 'silence') return { kind: 'silence' };
    if (reply.kind === 'refused') {
      if (reply.status !== 410) return { kind: 'not-understood' };
      await sendKeptAgain(phone.database);
      return loadCatalogue(phone, onBytes);
    }
    const page = feedPageSchema.safeParse(reply.body);
    if (!page.success) return { kind: 'not-understood' };
    if (linesIn(page.data.changes).some((line) => makesStale(book, line)))
      return loadCatalogue(phone, onBytes);
    if (page.data.changes.length > 0) await phone.takePage(page.data);
    if (!page.data.more) return { kind: 'up-to-date' };
  }
}
