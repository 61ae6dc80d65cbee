// What stood in a hotel as a working day began: it was taken in for the night and must come out in the morning. Without a
// line it could be driven away from in silence, which is what a count is there to prevent.
import { drivingHomesOf } from './count-beside.ts';
import type { Chains } from './count-ground.ts';
import { asPlaceId, type PlaceId, type ThingId } from './ids.ts';
import { REASONS_AWAY } from './movement.ts';
import type { Place, Stop } from './place.ts';
import type { Thing } from './thing.ts';

/** Something that is asked for although it was not aboard. */
export interface Roomed {
  /** The place in the hotel where it, or the outermost container it was in, stood. */
  readonly roomId: PlaceId;
  /** The containers around it, inner to outer. */
  readonly within: readonly ThingId[];
  /** The places around it, containers first, and then as if the outermost of them stood at its home aboard. */
  readonly chain: readonly PlaceId[];
}

/** Pieces of counted gear that are asked for at a place aboard, and where they stood. */
export interface RoomedPieces extends Roomed {
  readonly thingId: ThingId;
  readonly stoodAt: PlaceId;
  /** Where they are asked for: their home aboard, or the container they stood in, which comes aboard with them. */
  readonly placeId: PlaceId;
  readonly number: number;
}

export interface HotelRoom {
  readonly items: ReadonlyMap<ThingId, Roomed>;
  readonly pieces: readonly RoomedPieces[];
}

export interface RoomFacts {
  readonly stop: Pick<Stop, 'kind' | 'placeId'>;
  readonly places: ReadonlyMap<PlaceId, Place>;
  readonly things: ReadonlyMap<ThingId, Thing>;
  readonly vehicleId: PlaceId;
  /** Chains over the ledger as the working day began. */
  readonly began: Chains;
}

export const NO_ROOM: HotelRoom = { items: new Map(), pieces: [] };

/**
 * What the count of a hotel asks for besides what was aboard: everything that stood in the hotel as the day began and was
 * not said to be there for good (left on purpose, with somebody). A thing, or the outermost container it was in, belongs
 * to the vehicle that has its driving home; one that has none belongs to whichever vehicle is counted, because a thing that
 * is asked for twice is safer than one that nobody asks for. Empty for a stop that is no hotel: there what stood out overnight
 * stays out of the count.
 */
export function roomOf(facts: RoomFacts): HotelRoom {
  if (facts.stop.kind !== 'hotel') return NO_ROOM;
  const { positions, levels } = facts.began.standing;
  const items = new Map<ThingId, Roomed>();
  for (const [thingId, { placeId, why }] of positions) {
    // A vehicle stands at a hotel as well, but it drives away by itself.
    if (REASONS_AWAY.includes(why) || facts.places.get(asPlaceId(thingId))?.kind === 'vehicle') continue;
    const roomed = comingOut(thingId, placeId, facts);
    if (roomed !== null) items.set(thingId, roomed);
  }
  const pieces: RoomedPieces[] = [];
  for (const [thingId, numbers] of levels) {
    for (const [stoodAt, number] of numbers) {
      const roomed = number > 0 ? comingOut(thingId, stoodAt, facts) : null;
      const placeId = roomed?.chain[0];
      if (roomed !== null && placeId !== undefined)
        pieces.push({ ...roomed, thingId, stoodAt, placeId, number });
    }
  }
  return { items, pieces };
}

/** How a thing will come aboard; null for one that did not stand in the hotel, or belongs elsewhere. */
function comingOut(thingId: ThingId, placeId: PlaceId, facts: RoomFacts): Roomed | null {
  const { began, stop, places, things, vehicleId } = facts;
  const around = began.of(placeId);
  const room = around.indexOf(stop.placeId);
  if (room < 0) return null;
  const inside = around.slice(0, room + 1);
  if (inside.some((id) => places.get(id)?.kind === 'vehicle')) return null;
  const within = began.containersOf(inside);
  const roomId = inside[within.length];
  if (roomId === undefined) return null;
  if (within.some((id) => REASONS_AWAY.includes(began.standing.positions.get(id)?.why ?? 'load-in')))
    return null;
  const outermost = things.get(within.at(-1) ?? thingId);
  const homes = outermost === undefined ? [] : drivingHomesOf(outermost);
  const home = homes.find((id) => began.holds(id, vehicleId));
  if (home === undefined && homes.some((id) => isInVehicle(id, facts))) return null;
  return { roomId, within, chain: [...inside.slice(0, within.length), ...began.of(home ?? vehicleId)] };
}

const isInVehicle = (placeId: PlaceId, { began, places }: RoomFacts): boolean =>
  began.of(placeId).some((id) => places.get(id)?.kind === 'vehicle');
