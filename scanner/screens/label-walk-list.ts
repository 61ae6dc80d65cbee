// What a label walk shows: the places one can stand before, and what lives in each.
import { drivingHomesOf } from '#domain/count-beside.ts';
import type { PlaceId, ThingId } from '#domain/ids.ts';
import { type HomePlace, inHomeOrder } from '#domain/label-order.ts';
import type { Place } from '#domain/place.ts';
import { parseTag } from '#domain/tag-code.ts';
import type { Thing } from '#domain/thing.ts';
import type { PhoneBook } from '../store/phone-book.ts';

export interface Walked {
  readonly id: ThingId | PlaceId;
  readonly isPlace: boolean;
  readonly name: string;
  readonly code: string | null;
}

export interface WalkPlace {
  readonly place: Place;
  readonly things: number;
  readonly bare: number;
}

/** Codes put on in this walk that the catalogue does not have yet, by what they are on. */
export type PutOn = ReadonlyMap<string, string>;

const tagOf = (codes: readonly string[]): string | null =>
  codes.find((code) => 'tag' in parseTag(code)) ?? null;

/** The tag that something carries; one that this walk moved elsewhere is no longer on it. */
function codeOn(id: string, codes: readonly string[], putOn: PutOn): string | null {
  const code = putOn.get(id) ?? tagOf(codes);
  const moved = code !== null && !putOn.has(id) && [...putOn.values()].includes(code);
  return moved ? null : code;
}

const isWalked = (thing: Thing): boolean =>
  thing.kind === 'item' && thing.mergedIntoId === null && !thing.writtenOff;

function homePlacesOf(book: PhoneBook): readonly HomePlace[] {
  return [...book.places.values()].map(({ id, name, kind, sort, parentId, thingId }) => {
    const thing = thingId === null ? undefined : book.things.get(thingId);
    const [home = null] = thing === undefined ? [] : drivingHomesOf(thing);
    return { id, name, kind, sort, outerId: parentId ?? home };
  });
}

/** Everything that lives right in this place, the place first, then the dearest; whoever stops early has done those. */
export function livingIn(book: PhoneBook, placeId: PlaceId, putOn: PutOn): readonly Walked[] {
  const place = book.places.get(placeId);
  const own: readonly Walked[] =
    place === undefined || place.thingId !== null
      ? []
      : [{ id: place.id, isPlace: true, name: place.name, code: codeOn(place.id, place.codes, putOn) }];
  const things = [...book.things.values()]
    .filter((thing) => isWalked(thing) && drivingHomesOf(thing).includes(placeId))
    .sort((a, b) => b.valueRank - a.valueRank || (a.name < b.name ? -1 : 1))
    .map(({ id, name, codes }) => ({ id, isPlace: false, name, code: codeOn(id, codes, putOn) }));
  return [...own, ...things];
}

/** Every place that gear lives in, and every compartment, in home order. */
export function walkPlaces(book: PhoneBook, putOn: PutOn): readonly WalkPlace[] {
  const counts = new Map<PlaceId, { things: number; bare: number }>();
  for (const thing of book.things.values()) {
    if (!isWalked(thing)) continue;
    const isBare = codeOn(thing.id, thing.codes, putOn) === null;
    for (const placeId of drivingHomesOf(thing)) {
      const known = counts.get(placeId) ?? { things: 0, bare: 0 };
      counts.set(placeId, { things: known.things + 1, bare: known.bare + (isBare ? 1 : 0) });
    }
  }
  const shown = [...book.places.values()].filter(({ id, kind }) => counts.has(id) || kind === 'compartment');
  const homed = shown.map((place) => ({ id: place.id, name: place.name, homeId: null, place }));
  return inHomeOrder(homed, homePlacesOf(book)).map(({ homed: { place } }) => ({
    place,
    ...(counts.get(place.id) ?? { things: 0, bare: 0 }),
  }));
}
