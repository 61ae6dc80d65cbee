// Every record has an id made where it was seen, so that a repeat is harmless and nothing waits for a server.
import { v5, v7 } from 'uuid';
import { z } from 'zod';
import { assert } from './invariant.ts';

const uuidText = z.uuid('must be a UUID').toLowerCase();

export const thingIdSchema = uuidText.brand<'ThingId'>();
export const placeIdSchema = uuidText.brand<'PlaceId'>();
export const stopIdSchema = uuidText.brand<'StopId'>();
export const countIdSchema = uuidText.brand<'CountId'>();
export const personIdSchema = uuidText.brand<'PersonId'>();
export const deviceIdSchema = uuidText.brand<'DeviceId'>();
export const clockRunIdSchema = uuidText.brand<'ClockRunId'>();
export const plainIdSchema = uuidText;
/** Lines of the ledger carry a UUIDv7 (RFC 9562), so that ids of one device sort by the time they were made. */
export const movementIdSchema = z
  .uuidv7('must be a UUIDv7 made on the device')
  .toLowerCase()
  .brand<'MovementId'>();

export type ThingId = z.infer<typeof thingIdSchema>;
export type PlaceId = z.infer<typeof placeIdSchema>;
export type StopId = z.infer<typeof stopIdSchema>;
export type CountId = z.infer<typeof countIdSchema>;
export type PersonId = z.infer<typeof personIdSchema>;
export type DeviceId = z.infer<typeof deviceIdSchema>;
export type ClockRunId = z.infer<typeof clockRunIdSchema>;
export type MovementId = z.infer<typeof movementIdSchema>;

/** A container or a vehicle is a thing and a place under one id; this reads the one as the other. */
export const asPlaceId = (id: ThingId): PlaceId => placeIdSchema.parse(id);
export const asThingId = (id: PlaceId): ThingId => thingIdSchema.parse(id);

const RANDOM_BYTES_OF_UUID = 16;

/** A new UUIDv7 from a time in UTC milliseconds and 16 random bytes, both given by the caller. Throws on fewer bytes. */
export function makeUuidV7(msecs: number, random: Uint8Array): string {
  assert(random.length >= RANDOM_BYTES_OF_UUID, 'a UUIDv7 is made from 16 random bytes');
  return v7({ msecs, random });
}

// A namespace of our own, drawn once; changing it would give every count a new id.
const COUNT_NAMESPACE = '7d3f0f6e-2f0a-4f5c-9a37-6f1d2c7b8e41';

/** The id of the count of one stop and round (UUIDv5, RFC 9562 5.5): two phones open the same count without talking. */
export function countIdOf(stopId: StopId, round: number): CountId {
  return countIdSchema.parse(v5(`${stopId}/${round}`, COUNT_NAMESPACE));
}
