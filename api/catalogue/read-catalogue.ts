// Everything a phone or a desk has to know to work by itself, of one moment, and the cursor to go on from.
import type postgres from 'postgres';
import type { Catalogue } from '#domain/feed.ts';
import { readClasses } from '../classes/store.ts';
import { numberChanges } from '../feed/number-changes.ts';
import { readJobs } from '../jobs/store.ts';
import { readBook } from '../movements/read-book.ts';
import { readOutfit } from '../outfit/store.ts';
import { readPeople } from '../people/store.ts';
import { readPlaces } from '../places/store.ts';
import { readStops } from '../stops/store.ts';
import { readThings } from '../things/store.ts';

const DAY_MS = 86_400_000;
const DAYS_USUAL = 8;
const DAYS_MAX = 60;
/** An unfinished count looks back to the beginning of its working day, which is less than this before its opening. */
const WORKING_DAY_MS_MAX = 36 * 3_600_000;

/** How far the book reaches back: eight days, or to the day of the oldest count that nobody closed; at most 60 days. */
async function readSince(tx: postgres.ISql, now: number): Promise<number> {
  const [oldest] = await tx<{ at: number | null }[]>`
    select min(o.at) as at from movement o
    where o.kind = 'open' and o.at >= ${now - DAYS_MAX * DAY_MS}
      and not exists (select from movement v where v.voids = o.id)
      and not exists (select from movement c where c.kind = 'close' and c.stop_id = o.stop_id and c.round = o.round
        and not exists (select from movement v where v.voids = c.id))`;
  const unfinished = oldest?.at ?? null;
  const usual = now - DAYS_USUAL * DAY_MS;
  const wanted = unfinished === null ? usual : Math.min(usual, unfinished - WORKING_DAY_MS_MAX);
  return Math.max(0, wanted, now - DAYS_MAX * DAY_MS);
}

/** The catalogue; null while there is no outfit. */
export async function readCatalogue(sql: postgres.Sql, now: number): Promise<Catalogue | null> {
  await numberChanges(sql);
  return sql.begin('isolation level repeatable read read only', async (tx) => {
    const outfit = await readOutfit(tx);
    if (outfit === null) return null;
    // What this moment holds and is not numbered yet gets a higher number, and is told again by the feed.
    const [last] = await tx<
      { no: number; token: string }[]
    >`select no, token from change order by no desc limit 1`;
    const book = await readBook(tx, { since: await readSince(tx, now), things: 'all' });
    return {
      cursor: last ?? { no: 0, token: '' },
      at: now,
      outfit,
      people: await readPeople(tx, 'all'),
      classes: await readClasses(tx, 'all'),
      places: await readPlaces(tx, 'all'),
      things: await readThings(tx, 'all'),
      stops: await readStops(tx, 'all'),
      jobs: await readJobs(tx, 'all'),
      since: book.since,
      base: [...book.base],
      levels: [...book.levels],
      lines: book.lines.map(({ at, timeUncertain, ...line }) => ({ line, at, timeUncertain })),
    };
  });
}
