// Loads the demo outfit into an empty database, through the same doors as everybody else's gear.
import { randomBytes, randomUUID } from 'node:crypto';
import {
  clockRunIdSchema,
  deviceIdSchema,
  makeUuidV7,
  personIdSchema,
  placeIdSchema,
  stopIdSchema,
  thingIdSchema,
} from '#domain/ids.ts';
import { assert } from '#domain/invariant.ts';
import { MOVEMENTS_PER_BATCH_MAX } from '#domain/movement.ts';
import { parseScannedText } from '#domain/scanned-text.ts';
import { PLAIN_FACTS, type ThingFacts } from '#domain/thing.ts';
import { workingDayBeganAt } from '#domain/working-day.ts';
import { classKind } from '../../api/classes/keep-class.ts';
import { readClasses } from '../../api/classes/store.ts';
import { makeTags } from '../../api/codes/make-tags.ts';
import { putCode } from '../../api/codes/put-code.ts';
import type { Connections } from '../../api/database/connections.ts';
import { jobKind } from '../../api/jobs/keep-job.ts';
import { recordLines } from '../../api/movements/record-lines.ts';
import { keepOutfit, type OutfitFacts } from '../../api/outfit/keep-outfit.ts';
import { partyKind } from '../../api/parties/keep-party.ts';
import { personKind } from '../../api/people/keep-person.ts';
import { placeKind } from '../../api/places/keep-place.ts';
import { readPlaces } from '../../api/places/store.ts';
import { editRecord, type Kept, makeRecord } from '../../api/record/keep.ts';
import { stopEditKind } from '../../api/stops/edit-stop.ts';
import { stopKind } from '../../api/stops/keep-stop.ts';
import { readStops } from '../../api/stops/store.ts';
import { sundriesKind } from '../../api/sundries/keep-sundries.ts';
import { type EnteredThing, thingKind } from '../../api/things/keep-thing.ts';
import { addValue } from '../../api/things/keep-value.ts';
import { readThings } from '../../api/things/store.ts';
import { CLASSES, CONSUMABLES, COUNTED, ITEMS } from './gear.ts';
import { BOAT, JOBS, PARTIES, PLACES, SUNDRIES, VEHICLE } from './places.ts';
import { tellStory } from './story.ts';

const HOUR = 3_600_000;
const DAY = 24 * HOUR;
/** The demo begins this long before now. */
const BEGAN_DAYS_AGO = 178;
/** Places with wetlands; the first in which the day is long enough under way, so that its last stop is being wrapped. */
const ZONES = [
  'Europe/Lisbon',
  'Asia/Kolkata',
  'Australia/Darwin',
  'America/Cuiaba',
  'America/Anchorage',
] as const;
const DAY_TURNS_MINUTES = 300;

type Sql = Connections['sql'];

function zoneFor(now: number): string {
  const began = (zone: string) => now - workingDayBeganAt(now, zone, DAY_TURNS_MINUTES);
  return ZONES.find((zone) => began(zone) > 8 * HOUR) ?? ZONES[0];
}

function kept<K>(answer: Kept<K>): K {
  assert('record' in answer, `the demo outfit is taken: ${JSON.stringify(answer)}`);
  return answer.record;
}

/** Remembers ids by the names that the demo's tables use. */
function makeNames(now: number) {
  const ids = new Map<string, string>();
  return {
    add: (name: string): string => {
      const id = makeUuidV7(now, randomBytes(16));
      ids.set(name, id);
      return id;
    },
    of: (name: string): string => {
      const id = ids.get(name);
      assert(id, `the demo outfit knows ${name}`);
      return id;
    },
  };
}
type Names = ReturnType<typeof makeNames>;

async function loadPlaces(sql: Sql, names: Names, now: number): Promise<void> {
  const store = { name: 'Store', kind: 'store', parentId: null } as const;
  const plain = { zone: null, address: null, note: null };
  kept(await makeRecord(sql, placeKind, names.add('Store'), { ...plain, ...store, sort: 0 }));
  for (const name of [VEHICLE, BOAT]) {
    const facts = {
      ...PLAIN_FACTS,
      name,
      description: name === VEHICLE ? 'The 4×4' : 'The flat-bottomed boat',
    };
    const first = {
      placeId: placeIdSchema.parse(names.of('Store')),
      number: 1,
      at: now - BEGAN_DAYS_AGO * DAY,
    };
    kept(await makeRecord(sql, thingKind, names.add(name), { kind: 'item', facts, vehicle: true, first }));
  }
  for (const [sort, [name, kind, parent]] of PLACES.entries()) {
    if (parent === null) continue;
    const parentId = placeIdSchema.parse(names.of(parent));
    kept(await makeRecord(sql, placeKind, names.add(name), { ...plain, name, kind, parentId, sort }));
  }
  for (const [name, role, contact] of PARTIES) {
    const facts = { name, role, contact, email: null, phone: null, address: null, note: null };
    kept(await makeRecord(sql, partyKind, names.add(name), facts));
  }
}

async function loadClasses(sql: Sql, names: Names): Promise<void> {
  for (const [name, check, forgotten, essential, lifeMonths] of CLASSES) {
    const facts = {
      name,
      parentId: null,
      check,
      forgotten,
      essential,
      lifeMonths,
      residualPermille: 100,
      needs: [],
    };
    kept(await makeRecord(sql, classKind, names.add(`class ${name}`), facts));
  }
}

function drivingHomes(names: Names, homes: Readonly<Record<string, number>>): ThingFacts['homes'] {
  return Object.entries(homes).map(([name, number]) => ({
    way: 'driving',
    placeId: placeIdSchema.parse(names.of(name)),
    number,
  }));
}

async function loadThing(
  sql: Sql,
  names: Names,
  entered: Omit<EnteredThing, 'vehicle' | 'first'>,
): Promise<string> {
  const id = names.add(entered.facts.name);
  kept(await makeRecord(sql, thingKind, id, { ...entered, vehicle: false, first: null }));
  return id;
}

async function priceThing(sql: Sql, id: string, euros: number, onDate: string): Promise<void> {
  const facts = {
    amountMinor: euros * 100,
    currency: 'EUR',
    onDate,
    source: 'list price of the maker',
    personId: null,
  };
  kept(await addValue(sql, { id: randomUUID(), thingId: thingIdSchema.parse(id), facts }));
}

async function loadItems(sql: Sql, names: Names, pricedOn: string): Promise<void> {
  // Containers before what lives in them, main things before what is built on them.
  const ordered = [...ITEMS].sort(
    (a, b) => Number(b[8]?.container ?? false) - Number(a[8]?.container ?? false),
  );
  for (const [name, className, maker, model, serial, home, euros, weightGrams, more = {}] of ordered) {
    const facts: ThingFacts = {
      ...PLAIN_FACTS,
      ...{ name, maker, model, serial, weightGrams, classId: names.of(`class ${className}`) },
      ...{
        whose: more.whose ?? 'ours',
        container: more.container ?? false,
        wattHours: more.wattHours ?? null,
      },
      ownerPlaceId: more.owner === undefined ? null : placeIdSchema.parse(names.of(more.owner)),
      builtOnId: more.builtOn === undefined ? null : thingIdSchema.parse(names.of(more.builtOn)),
      homes: drivingHomes(names, { [home]: 1 }),
    };
    await priceThing(sql, await loadThing(sql, names, { kind: 'item', facts }), euros, pricedOn);
  }
}

async function loadCounted(sql: Sql, names: Names, pricedOn: string): Promise<void> {
  for (const [name, className, maker, homes, euros, weightGrams] of COUNTED) {
    const facts = {
      ...PLAIN_FACTS,
      name,
      maker,
      weightGrams,
      classId: names.of(`class ${className}`),
      homes: drivingHomes(names, homes),
    };
    await priceThing(sql, await loadThing(sql, names, { kind: 'counted', facts }), euros, pricedOn);
  }
  for (const [name, unit, par, homes] of CONSUMABLES) {
    const { Store: _store, ...aboard } = homes;
    const facts = {
      ...PLAIN_FACTS,
      name,
      unit,
      par,
      classId: names.of('class Consumable'),
      homes: drivingHomes(names, aboard),
    };
    await loadThing(sql, names, { kind: 'consumable', facts });
  }
}

async function loadTags(sql: Sql, names: Names, now: number): Promise<void> {
  const made = await makeTags(sql, { blockId: randomUUID(), number: ITEMS.length + 40, now });
  assert('codes' in made, 'a block of tags can be made');
  for (const [index, [name]] of ITEMS.entries()) {
    const text = parseScannedText(made.codes[index] ?? '');
    assert(text, 'a tag is a text that can be scanned');
    const target = { thingId: thingIdSchema.parse(names.of(name)) };
    const done = await putCode(sql, {
      text,
      target,
      kind: null,
      since: now - BEGAN_DAYS_AGO * DAY,
      takeFrom: null,
    });
    assert('made' in done, `${name} takes its tag`);
  }
}

async function loadJobs(sql: Sql, names: Names, zone: string, now: number): Promise<void> {
  const today = workingDayBeganAt(now, zone, DAY_TURNS_MINUTES);
  for (const job of JOBS) {
    const partyId = placeIdSchema.parse(names.of(job.client));
    kept(
      await makeRecord(sql, jobKind, names.add(job.name), {
        name: job.name,
        partyId,
        startsOn: null,
        endsOn: null,
        note: null,
      }),
    );
    for (const { name, kind, when } of job.stops) {
      const isToday = 'share' in when;
      const startsAt = Math.round(
        isToday ? today + when.share * (now - today) : today - when.daysAgo * DAY + when.hour * HOUR,
      );
      const place = { id: placeIdSchema.parse(names.add(`place ${name}`)), name, isNew: true };
      const id = stopIdSchema.parse(names.add(name));
      const facts = { id, jobId: names.of(job.name), name, kind, zone, startsAt, unnamed: false, place };
      kept(await makeRecord(sql, stopKind, id, facts));
      if (isToday && when.share > 0.5) continue;
      const endsAt = startsAt + Math.round(isToday ? 0.15 * (now - today) : 3 * HOUR);
      kept(await editRecord(sql, stopEditKind, { id, ifMatch: 1, facts: { endsAt } }));
    }
  }
}

async function loadSundries(sql: Sql, names: Names, onDate: string): Promise<void> {
  for (const [place, description, euros] of SUNDRIES) {
    const placeId = placeIdSchema.parse(names.of(place));
    const facts = { placeId, classId: null, description, amountMinor: euros * 100, currency: 'EUR', onDate };
    kept(await makeRecord(sql, sundriesKind, randomUUID(), facts));
  }
}

function firstNumbers(names: Names) {
  const rows = [
    ...COUNTED.map(([name, , , homes]) => [name, homes] as const),
    ...CONSUMABLES.map(([name, , , homes]) => [name, homes] as const),
  ];
  return rows.flatMap(([name, homes]) =>
    Object.entries(homes).map(([place, number]) => ({
      ...{ thingId: thingIdSchema.parse(names.of(name)), placeId: placeIdSchema.parse(names.of(place)) },
      number,
    })),
  );
}

const mapById = <K extends string, T extends { readonly id: K }>(records: readonly T[]): ReadonlyMap<K, T> =>
  new Map(records.map((record) => [record.id, record]));

async function loadLines(sql: Sql, names: Names, outfit: OutfitFacts, now: number): Promise<void> {
  const clockRun = clockRunIdSchema.parse(randomUUID());
  const lines = tellStory({
    ...{ outfit, now, clockRun, beganAt: now - BEGAN_DAYS_AGO * DAY, random: () => randomBytes(16) },
    places: mapById(await readPlaces(sql, 'all')),
    things: mapById(await readThings(sql, 'all')),
    classes: mapById(await readClasses(sql, 'all')),
    stops: [...(await readStops(sql, 'all'))].sort((a, b) => a.startsAt - b.startsAt),
    vehicleId: placeIdSchema.parse(names.of(VEHICLE)),
    boatId: placeIdSchema.parse(names.of(BOAT)),
    storeId: placeIdSchema.parse(names.of('Store')),
    firstNumbers: firstNumbers(names),
    deviceId: deviceIdSchema.parse(randomUUID()),
    owner: personIdSchema.parse(names.of('owner')),
    mate: personIdSchema.parse(names.of('mate')),
  });
  for (let from = 0; from < lines.length; from += MOVEMENTS_PER_BATCH_MAX) {
    const movements = lines.slice(from, from + MOVEMENTS_PER_BATCH_MAX);
    const batch = { clocks: [{ clockRun, offsetMs: 0 }], movements };
    const answers = await recordLines(sql, { batch, receivedAt: now });
    const odd = answers.find(({ answer }) => answer !== 'recorded');
    assert(odd === undefined, `every line of the demo is recorded: ${JSON.stringify(odd)}`);
  }
}

/** Loads everything. Refuses nothing and repairs nothing: the database must be empty, and `now` is UTC milliseconds. */
export async function loadDemo({ sql }: Pick<Connections, 'sql'>, now: number): Promise<void> {
  const zone = zoneFor(now);
  const names = makeNames(now);
  const pricedOn = new Date(now - 40 * DAY).toISOString().slice(0, 10);
  const facts: OutfitFacts = {
    ...{ name: 'Sedge & Lantern', currency: 'EUR', zone, yearEnd: '12-31', mainsVolts: 230 },
    ...{ units: 'metric', dayTurnsMinutes: DAY_TURNS_MINUTES },
    lastLook: [
      'Wall sockets and chargers',
      'Rails, branches and the boat',
      'Behind the hide',
      'Bathroom and bedside',
    ],
  };
  kept(await makeRecord(sql, personKind, names.add('owner'), { name: 'Marit Oskamp', role: 'owner' }));
  kept(await makeRecord(sql, personKind, names.add('mate'), { name: 'Tove Lindqvar', role: 'crew' }));
  await loadPlaces(sql, names, now);
  await loadClasses(sql, names);
  await loadItems(sql, names, pricedOn);
  await loadCounted(sql, names, pricedOn);
  await loadTags(sql, names, now);
  await loadSundries(sql, names, pricedOn);
  await loadJobs(sql, names, zone, now);
  await loadLines(sql, names, facts, now);
  // Last, because the outfit's name is what says that there is something to open.
  kept(await keepOutfit(sql, facts, null));
  await sql`update outfit set demo = true`;
}
