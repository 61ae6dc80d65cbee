// Makes lines of the ledger from what a tap or a scan says: the device adds its id, number, clock and person.
import type { Fact } from '#domain/count-answers.ts';
import { type ClockRunId, makeUuidV7, type PersonId } from '#domain/ids.ts';
import { type Movement, movementSchema } from '#domain/movement.ts';
import type { Installation } from './rows.ts';

const UUID_BYTES = 16;

export interface Stamping {
  readonly installation: Installation;
  readonly personId: PersonId | null;
  readonly clockRun: ClockRunId;
  /** The wall clock, UTC ms. */
  readonly now: number;
  /** Random bytes, 16 for each fact. */
  readonly random: (bytes: number) => Uint8Array;
}

export interface Stamped {
  readonly lines: readonly Movement[];
  readonly installation: Installation;
}

/**
 * Stamps facts in the order in which they were said. Inside one run of the clock each line's time is at least 1 ms
 * after the line before, so that lines of one tap keep their order whatever else happens.
 */
export function stampFacts(facts: readonly Fact[], stamping: Stamping): Stamped {
  const { clockRun, personId, random } = stamping;
  let { deviceId, lastNo, lastDeviceAt } = stamping.installation;
  if (stamping.installation.lastRun !== clockRun) lastDeviceAt = 0;
  const lines = facts.map((fact) => {
    const deviceAt = Math.max(stamping.now, lastDeviceAt + 1);
    lastDeviceAt = deviceAt;
    lastNo += 1;
    const id = makeUuidV7(deviceAt, random(UUID_BYTES));
    return movementSchema.parse({ ...fact, id, deviceId, deviceNo: lastNo, deviceAt, clockRun, personId });
  });
  return { lines, installation: { ...stamping.installation, lastNo, lastDeviceAt, lastRun: clockRun } };
}
