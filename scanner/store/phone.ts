// The phone as its screens see it: one state that changes as a whole, and the few things that can be done to it.
import type { Fact } from '#domain/count-answers.ts';
import type { Catalogue, FeedPage } from '#domain/feed.ts';
import { clockRunIdSchema, type PersonId, type StopId } from '#domain/ids.ts';
import type { Recorded } from '#domain/movement.ts';
import type { NewStop } from '#domain/place.ts';
import { type ClockRun, followClock } from './clock-run.ts';
import { type Database, openPhoneDatabase } from './database.ts';
import { keepCatalogue, keepPage } from './keep-catalogue.ts';
import { makePhoneBook, type PhoneBook, withChanges, withLines } from './phone-book.ts';
import { asRecorded, type PhoneRows, readPhoneRows, readStopRows } from './read-rows.ts';
import {
  FIRST_SETTINGS,
  type Head,
  type KeptLine,
  type Settings,
  type WaitingLine,
  type WaitingStop,
} from './rows.ts';
import { openTabs } from './tabs.ts';
import { asStop, makeId, writeLines, writeStop } from './write-down.ts';

export interface PhoneState {
  readonly book: PhoneBook | null;
  readonly head: Head | null;
  /** Own lines that the service has not acknowledged, oldest first. */
  readonly waiting: readonly WaitingLine[];
  readonly waitingStops: readonly WaitingStop[];
  readonly inDrawer: number;
  readonly settings: Settings;
}

export interface Phone {
  readonly database: Database;
  readonly read: () => PhoneState;
  readonly listen: (listener: () => void) => () => void;
  /** Stamps and writes facts strictly. Resolves once the disk has them; rejects when it can't take them. */
  readonly writeDown: (facts: readonly Fact[]) => Promise<readonly Recorded[]>;
  readonly makeStop: (make: NewStop) => Promise<void>;
  readonly nameStop: (id: StopId, name: string) => Promise<void>;
  readonly choose: (settings: Settings) => Promise<void>;
  readonly takeCatalogue: (catalogue: Catalogue) => Promise<void>;
  readonly takePage: (page: FeedPage) => Promise<void>;
  /** The service has these lines now, with these times; refused ones are in the drawer. */
  readonly takeAnswers: (gone: ReadonlySet<number>, kept: readonly KeptLine[]) => Promise<void>;
  /** The service was told of stops: some wait no longer. */
  readonly takeStops: () => Promise<void>;
  readonly readAgain: () => Promise<void>;
  /** The run of this phone's clock that holds this moment. */
  readonly clockRun: () => ClockRun['id'];
}

const readClocks = () => ({ wall: Date.now(), monotonic: performance.now() });
const makeRunId = () => clockRunIdSchema.parse(makeId());

/** The book with what only this phone knows laid over it. */
function bookFrom({ catalogue, waiting, waitingStops }: PhoneRows): PhoneBook | null {
  if (catalogue === null) return null;
  const lines = [...catalogue.parts.lines, ...waiting.map(asRecorded)];
  return withWaitingStops(makePhoneBook({ ...catalogue.parts, lines }), waitingStops);
}

/** Stops made or named here show as they are here until the service has them. */
export function withWaitingStops(book: PhoneBook, waitingStops: readonly WaitingStop[]): PhoneBook {
  if (waitingStops.length === 0) return book;
  const stops = new Map(book.stops);
  const places = new Map(book.places);
  for (const { id, make, name } of waitingStops) {
    if (make !== null) {
      const made = asStop(make);
      if (!stops.has(id)) stops.set(id, made.stop);
      if (!places.has(made.place.id)) places.set(made.place.id, made.place);
    }
    const known = stops.get(id);
    if (known === undefined || name === null) continue;
    stops.set(id, { ...known, name, unnamed: false });
    const place = places.get(known.placeId);
    if (place?.unnamed) places.set(place.id, { ...place, name });
  }
  return { ...book, stops, places };
}

const personOf = ({ book, settings }: PhoneState): PersonId | null => {
  if (book === null) return null;
  const people = [...book.people.values()];
  const chosen = people.find((person) => person.id === settings.personId);
  return (chosen ?? people.find((person) => person.role === 'owner') ?? people[0])?.id ?? null;
};

const NOTHING_YET: PhoneState = {
  book: null,
  head: null,
  waiting: [],
  waitingStops: [],
  inDrawer: 0,
  settings: FIRST_SETTINGS,
};

/** The state in memory, the database below it, and the other tabs beside it. */
function openMemory(database: Database) {
  const listeners = new Set<() => void>();
  let state = NOTHING_YET;
  let written = 0;
  const put = (next: PhoneState) => {
    state = next;
    for (const listener of listeners) listener();
  };
  const takeLines = (rows: readonly WaitingLine[]) => {
    written += 1;
    const book = state.book === null ? null : withLines(state.book, rows.map(asRecorded));
    put({ ...state, book, waiting: [...state.waiting, ...rows] });
  };
  const readAgain = async () => {
    // What was written while all was being read would be missing from it, so then it is read once more.
    for (;;) {
      const before = written;
      const rows = await readPhoneRows(database);
      if (before !== written) continue;
      const { waiting, waitingStops, inDrawer, settings, catalogue } = rows;
      put({ book: bookFrom(rows), head: catalogue?.head ?? null, waiting, waitingStops, inDrawer, settings });
      return;
    }
  };
  const tabs = openTabs((news) => {
    if (news.kind === 'read-again') void readAgain();
    else takeLines(news.rows);
  });
  const listen = (listener: () => void) => {
    listeners.add(listener);
    return () => listeners.delete(listener);
  };
  const touch = () => {
    written += 1;
  };
  return { read: () => state, put, takeLines, readAgain, touch, listen, tell: tabs.tell };
}
type Memory = ReturnType<typeof openMemory>;

/** What a person does. */
function openWriting(database: Database, memory: Memory) {
  let run: ClockRun = { id: makeRunId(), ...readClocks() };
  const clockRun = () => {
    run = followClock(run, readClocks(), makeRunId);
    return run.id;
  };
  const keepStop = async (row: WaitingStop) => {
    await writeStop(database, row);
    memory.touch();
    const state = memory.read();
    const waitingStops = [...state.waitingStops.filter(({ id }) => id !== row.id), row];
    memory.put({ ...state, waitingStops, book: state.book && withWaitingStops(state.book, waitingStops) });
    memory.tell({ kind: 'read-again' });
  };
  return {
    clockRun,
    writeDown: async (facts: readonly Fact[]) => {
      const writer = { database, clockRun: clockRun(), personId: personOf(memory.read()), now: Date.now() };
      const rows = await writeLines(facts, writer);
      memory.takeLines(rows);
      memory.tell({ kind: 'lines', rows: [...rows] });
      return rows.map(asRecorded);
    },
    makeStop: (make: NewStop) => keepStop({ id: make.id, make, name: null, madeAt: Date.now() }),
    nameStop: (id: StopId, name: string) => {
      const known = memory.read().waitingStops.find((row) => row.id === id);
      return keepStop({ id, make: known?.make ?? null, name, madeAt: known?.madeAt ?? Date.now() });
    },
    choose: async (settings: Settings) => {
      await database.put('head', settings, 'settings');
      memory.put({ ...memory.read(), settings });
    },
  };
}

/** What the service says. */
function openTaking(database: Database, memory: Memory) {
  return {
    takeCatalogue: async (catalogue: Catalogue) => {
      await keepCatalogue(database, catalogue);
      await memory.readAgain();
      memory.tell({ kind: 'read-again' });
    },
    takePage: async (page: FeedPage) => {
      const { head } = memory.read();
      if (head === null) return;
      const next = await keepPage(database, page, head);
      const { book, waitingStops, ...rest } = memory.read();
      const changed = book && withWaitingStops(withChanges(book, page.changes), waitingStops);
      memory.put({ ...rest, waitingStops, head: next, book: changed });
      if (page.changes.length > 0) memory.tell({ kind: 'read-again' });
    },
    takeStops: async () => {
      const { stops, waitingStops, inDrawer } = await readStopRows(database);
      const state = memory.read();
      // A refused stop is in the drawer and no longer part of the book.
      if (stops === null || state.book === null || inDrawer !== state.inDrawer) return memory.readAgain();
      const known = new Map([...state.book.stops, ...stops.map((stop) => [stop.id, stop] as const)]);
      const book = withWaitingStops({ ...state.book, stops: known }, waitingStops);
      memory.put({ ...state, waitingStops, book });
      memory.tell({ kind: 'read-again' });
    },
    takeAnswers: async (gone: ReadonlySet<number>, kept: readonly KeptLine[]) => {
      memory.touch();
      memory.tell({ kind: 'read-again' });
      // A refused line is in the drawer and no longer part of the book.
      if (kept.length < gone.size) return memory.readAgain();
      const state = memory.read();
      const lines = kept.map(({ line, at, timeUncertain }): Recorded => ({ ...line, at, timeUncertain }));
      const waiting = state.waiting.filter(({ deviceNo }) => !gone.has(deviceNo));
      memory.put({ ...state, waiting, book: state.book && withLines(state.book, lines) });
    },
  };
}

/** Opens the phone's database and reads all of it. */
export async function openPhone(): Promise<Phone> {
  const database = await openPhoneDatabase();
  const memory = openMemory(database);
  await memory.readAgain();
  const { read, listen, readAgain } = memory;
  return {
    database,
    read,
    listen,
    readAgain,
    ...openWriting(database, memory),
    ...openTaking(database, memory),
  };
}
