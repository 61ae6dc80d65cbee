// What the phone knows, in memory: the catalogue and the book, and where everything stands by them. One more line costs
// one thing, so that a scan is answered at once with ten thousand of them.
import type { Book } from '#domain/book.ts';
import type { Catalogue, Change, Person } from '#domain/feed.ts';
import type { MovementId, PlaceId, StopId, ThingId } from '#domain/ids.ts';
import { compareLines, type Standing, standingOf, withLine, withLineAgain } from '#domain/ledger.ts';
import type { Recorded } from '#domain/movement.ts';
import type { Job, Outfit, Place, Stop } from '#domain/place.ts';
import type { Thing, ThingClass } from '#domain/thing.ts';

export interface PhoneBook {
  readonly outfit: Outfit;
  readonly people: ReadonlyMap<string, Person>;
  readonly classes: ReadonlyMap<string, ThingClass>;
  readonly places: ReadonlyMap<PlaceId, Place>;
  readonly things: ReadonlyMap<ThingId, Thing>;
  readonly stops: ReadonlyMap<StopId, Stop>;
  readonly jobs: ReadonlyMap<string, Job>;
  readonly base: Book['base'];
  readonly levels: Book['levels'];
  readonly since: number;
  readonly lines: ReadonlyMap<MovementId, Recorded>;
  readonly standing: Standing;
  readonly codes: ReadonlyMap<string, readonly CodeTarget[]>;
}

/** What a code names: a thing, or a fixed place such as a compartment. */
export type CodeTarget =
  | { readonly kind: 'thing'; readonly id: ThingId }
  | { readonly kind: 'place'; readonly id: PlaceId };

type AsRead<T> = T extends readonly (infer One)[] ? readonly One[] : T;
/** The parts a phone book is made from. */
export type BookParts = {
  readonly [K in Exclude<keyof Catalogue, 'cursor' | 'at' | 'lines'>]: AsRead<Catalogue[K]>;
} & { readonly lines: readonly Recorded[] };

const byId = <V extends { readonly id: string }>(values: readonly V[]): Map<V['id'], V> =>
  new Map(values.map((value) => [value.id, value]));

export function bookOf(phone: Pick<PhoneBook, 'since' | 'base' | 'levels' | 'lines'>): Book {
  const { since, base, levels } = phone;
  return { since, base, levels, lines: [...phone.lines.values()] };
}

/** A phone book from everything at once. Where a line stands twice the first one counts. */
export function makePhoneBook(parts: BookParts): PhoneBook {
  const lines = new Map<MovementId, Recorded>();
  for (const line of parts.lines) if (!lines.has(line.id)) lines.set(line.id, line);
  const { outfit, since, base, levels } = parts;
  const things = byId(parts.things);
  const places = byId(parts.places);
  return {
    outfit,
    since,
    base,
    levels,
    lines,
    things,
    places,
    people: byId(parts.people),
    classes: byId(parts.classes),
    stops: byId(parts.stops),
    jobs: byId(parts.jobs),
    standing: standingOf({ since, base, levels, lines: [...lines.values()] }),
    codes: codesOf(things, places),
  };
}

function codesOf(
  things: ReadonlyMap<ThingId, Thing>,
  places: ReadonlyMap<PlaceId, Place>,
): ReadonlyMap<string, readonly CodeTarget[]> {
  const codes = new Map<string, CodeTarget[]>();
  const add = (code: string, target: CodeTarget) => {
    const known = codes.get(code);
    if (known === undefined) codes.set(code, [target]);
    else known.push(target);
  };
  for (const thing of things.values()) {
    // Another entry for the same thing: its tags mean the one that was kept.
    for (const code of thing.codes) add(code, { kind: 'thing', id: thing.mergedIntoId ?? thing.id });
  }
  for (const place of places.values()) {
    if (place.thingId !== null) continue;
    for (const code of place.codes) add(code, { kind: 'place', id: place.id });
  }
  return codes;
}

// Above this many lines at once, computing afresh is cheaper than line by line.
const LINE_BY_LINE_MAX = 40;

/** With lines that are new, or known ones as the service has them now (their time, the thing their code means). */
export function withLines(phone: PhoneBook, lines: readonly Recorded[]): PhoneBook {
  const all = new Map(phone.lines);
  const news: (readonly [before: Recorded | undefined, line: Recorded])[] = [];
  for (const line of lines) {
    const known = all.get(line.id);
    if (known === undefined || !saysTheSame(known, line)) news.push([known, line]);
    all.set(line.id, line);
  }
  if (news.length > LINE_BY_LINE_MAX) {
    return { ...phone, lines: all, standing: standingOf(bookOf({ ...phone, lines: all })) };
  }
  let { standing } = phone;
  for (const [before, line] of news) {
    standing = before === undefined ? withLine(standing, line) : withLineAgain(standing, before, line);
  }
  return { ...phone, lines: all, standing };
}

function saysTheSame(known: Recorded, line: Recorded): boolean {
  const thingOf = (of: Recorded) => ('thingId' in of ? of.thingId : null);
  return compareLines(known, line) === 0 && thingOf(known) === thingOf(line);
}

/** With one page of the feed. Records come as they are now; the order of the changes decides. */
export function withChanges(phone: PhoneBook, changes: readonly Change[]): PhoneBook {
  if (changes.every(({ kind }) => kind === 'movement')) return withLines(phone, linesIn(changes));
  const next = {
    outfit: phone.outfit,
    people: new Map(phone.people),
    classes: new Map(phone.classes),
    places: new Map(phone.places),
    things: new Map(phone.things),
    stops: new Map(phone.stops),
    jobs: new Map(phone.jobs),
  };
  for (const change of changes) {
    if (change.kind === 'thing') next.things.set(change.body.id, change.body);
    else if (change.kind === 'place') next.places.set(change.body.id, change.body);
    else if (change.kind === 'class') next.classes.set(change.body.id, change.body);
    else if (change.kind === 'stop') next.stops.set(change.body.id, change.body);
    else if (change.kind === 'job') next.jobs.set(change.body.id, change.body);
    else if (change.kind === 'person') next.people.set(change.body.id, change.body);
    else if (change.kind === 'outfit') next.outfit = change.body;
    else if (change.kind === 'gone') forget(next, change.ref);
  }
  const named = changes.some(({ kind }) => kind === 'thing' || kind === 'place' || kind === 'gone');
  const codes = named ? codesOf(next.things, next.places) : phone.codes;
  return withLines({ ...phone, ...next, codes }, linesIn(changes));
}

function forget(next: Readonly<Record<string, unknown>>, ref: string): void {
  for (const records of Object.values(next)) if (records instanceof Map) records.delete(ref);
}

/** The lines of the ledger among these changes. */
export function linesIn(changes: readonly Change[]): readonly Recorded[] {
  return changes.flatMap((change) => {
    if (change.kind !== 'movement') return [];
    const { line, at, timeUncertain } = change.body;
    return [{ ...line, at, timeUncertain }];
  });
}

/**
 * Whether this line makes the book stale (book.ts): it lies before the book's beginning, or cancels a line that
 * does. Lines that move nothing (marks, findings) are kept all the same.
 */
export function makesStale(phone: PhoneBook, line: Recorded): boolean {
  if (line.kind === 'void') {
    return !phone.lines.has(line.voids) && phone.base.some(({ movementId }) => movementId === line.voids);
  }
  return line.at < phone.since && !phone.lines.has(line.id);
}
