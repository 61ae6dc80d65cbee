// A count asks about one vehicle; most of a large outfit stands in a store and can't be part of it. Leaving that out makes
// a count on the phone cost what the vehicle carries, not what the outfit owns.
import type { Book } from '#domain/book.ts';
import type { PlaceId, ThingId } from '#domain/ids.ts';
import type { Place } from '#domain/place.ts';
import { bookOf, type PhoneBook } from './phone-book.ts';

/**
 * The book without the base positions and levels of things that no line of it speaks of and that stand in a fixed place
 * which is in no vehicle, no container and no hotel: nothing in this book can have brought them aboard, and no count asks for
 * them. Every line stays. A count by it is the count by the whole book.
 */
export function narrowBook(phone: PhoneBook): Book {
  const book = bookOf(phone);
  const spokenOf = new Set<ThingId | null>();
  for (const line of book.lines) if ('thingId' in line) spokenOf.add(line.thingId);
  const moves = movingPlaces(phone.places);
  const mayMatter = ({ thingId, placeId }: { readonly thingId: ThingId; readonly placeId: PlaceId }) =>
    spokenOf.has(thingId) || moves(placeId);
  return { ...book, base: book.base.filter(mayMatter), levels: book.levels.filter(mayMatter) };
}

/** Whether a place is, or is inside of, one that moves or a hotel, or is not known well enough to say that it is not. */
function movingPlaces(places: ReadonlyMap<PlaceId, Place>): (placeId: PlaceId) => boolean {
  const known = new Map<PlaceId, boolean>();
  const moves = (placeId: PlaceId, depth: number): boolean => {
    const before = known.get(placeId);
    if (before !== undefined) return before;
    const place = places.get(placeId);
    const isStill =
      place !== undefined && place.thingId === null && place.kind !== 'hotel' && depth < DEPTH_MAX;
    const answer = !isStill || (place.parentId !== null && moves(place.parentId, depth + 1));
    known.set(placeId, answer);
    return answer;
  };
  return (placeId) => moves(placeId, 0);
}

const DEPTH_MAX = 100;
