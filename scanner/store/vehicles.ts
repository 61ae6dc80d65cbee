// Which vehicle a stop is counted for.
import type { PlaceId, StopId } from '#domain/ids.ts';
import { livingLines } from '#domain/ledger.ts';
import type { Place } from '#domain/place.ts';
import type { PhoneBook } from './phone-book.ts';

/** The outfit's vehicles, by name. */
export function vehiclesOf(phone: PhoneBook): readonly Place[] {
  return [...phone.places.values()]
    .filter((place) => place.kind === 'vehicle')
    .sort((a, b) => (a.name < b.name ? -1 : 1));
}

/**
 * The vehicle of a stop: the one its count was opened for, else the one of the latest count of any stop, else the
 * one that holds most things directly or in its compartments. Null for an outfit without vehicles.
 */
export function vehicleOfStop(phone: PhoneBook, stopId: StopId | null): PlaceId | null {
  let own: PlaceId | null = null;
  let latest: PlaceId | null = null;
  for (const line of livingLines([...phone.lines.values()])) {
    if (line.kind !== 'open' || phone.places.get(line.vehicleId)?.kind !== 'vehicle') continue;
    latest = line.vehicleId;
    if (line.stopId === stopId) own = line.vehicleId;
  }
  return own ?? latest ?? fullestVehicle(phone);
}

function fullestVehicle(phone: PhoneBook): PlaceId | null {
  const held = new Map<PlaceId, number>();
  for (const { placeId } of phone.standing.positions.values()) {
    const place = phone.places.get(placeId);
    const vehicleId = place?.kind === 'compartment' ? place.parentId : placeId;
    if (vehicleId !== null) held.set(vehicleId, (held.get(vehicleId) ?? 0) + 1);
  }
  const [fullest] = vehiclesOf(phone)
    .map((place) => place.id)
    .sort((a, b) => (held.get(b) ?? 0) - (held.get(a) ?? 0));
  return fullest ?? null;
}
