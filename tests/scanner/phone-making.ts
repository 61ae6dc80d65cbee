// A phone's book from an outfit made by a test, and what a scan is decided by.
import type { PlaceId } from '#domain/ids.ts';
import { outfitSchema, type Stop } from '#domain/place.ts';
import type { Mode, ScanContext } from '../../scanner/store/decide-verdict.ts';
import { makePhoneBook, type PhoneBook } from '../../scanner/store/phone-book.ts';
import { bookOf, type Outfit } from '../domain/count-making.ts';

export function phoneOf(outfit: Outfit, stops: readonly Stop[] = []): PhoneBook {
  const facts = outfitSchema.parse({
    name: 'Reed and Tide',
    currency: 'EUR',
    zone: 'Europe/Lisbon',
    units: 'metric',
    yearEnd: '12-31',
    mainsVolts: 230,
    dayTurnsMinutes: 300,
    lastLook: [],
    demo: false,
    version: 1,
  });
  return makePhoneBook({
    ...bookOf(outfit),
    outfit: facts,
    people: [],
    classes: [...outfit.classes.values()],
    places: [...outfit.places.values()],
    things: [...outfit.things.values()],
    stops,
    jobs: [],
  });
}

/** The count was opened at `openedAt`, and asks for everything but what is named. */
export function contextOf(
  phone: PhoneBook,
  given: { mode: Mode; stop: Stop; vehicleId: PlaceId; openedAt?: number; notAsked?: readonly string[] },
): ScanContext {
  const { mode, stop, vehicleId, openedAt = null, notAsked = [] } = given;
  return {
    phone,
    mode,
    stopId: stop.id,
    stopPlaceId: stop.placeId,
    round: openedAt === null ? null : 1,
    openedAt,
    vehicleId,
    isAsked: (thingId) => !notAsked.includes(thingId),
  };
}
