// What was opened last by typing, kept in this browser: the palette offers it first.
import { z } from 'zod';

const KEY = 'tailcount-recent';
const RECENT_MAX = 12;

/** An address has a name to be shown by; a deed is known by its id alone. */
const recentSchema = z.strictObject({
  id: z.string().max(200),
  name: z.string().max(400),
  word: z.string().max(40),
  goTo: z.string().startsWith('/').max(400).nullable(),
});
export type Recent = z.infer<typeof recentSchema>;

/** The latest first; empty where nothing was kept or nothing that can be read. */
export function readRecent(): readonly Recent[] {
  try {
    return z.array(recentSchema).parse(JSON.parse(localStorage.getItem(KEY) ?? '[]'));
  } catch {
    return [];
  }
}

/** Puts it first. A browser that keeps nothing forgets it. */
export function keepRecent(used: Recent): void {
  const others = readRecent().filter(({ id }) => id !== used.id);
  try {
    localStorage.setItem(KEY, JSON.stringify([used, ...others].slice(0, RECENT_MAX)));
  } catch {
    // A private window: what was used last is simply not offered first.
  }
}
