// Says where new things are to begin with: the first line of their histories, in the transaction that enters them.
import type { Fact } from '#domain/count-answers.ts';
import type { PlaceId, ThingId } from '#domain/ids.ts';
import type { ThingKind } from '#domain/thing.ts';
import type { Tx } from '../database/decide.ts';
import { recordAsService } from '../movements/service-lines.ts';

export interface PutDown {
  readonly thingId: ThingId;
  readonly kind: ThingKind;
  readonly placeId: PlaceId;
  /** 1 for an item. */
  readonly number: number;
}

function factOf({ thingId, kind, placeId, number }: PutDown): Fact {
  const context = { stopId: null, round: null, note: null };
  const evidence = { check: null, why: 'arrival', spot: null } as const;
  const said = { ...context, ...evidence, thingId, toId: placeId };
  return kind === 'item'
    ? { ...said, kind: 'move', code: null, sealUnbroken: false }
    : { ...said, kind: 'quantity', number, fromId: null };
}

/** Says where new things are to begin with: one line each, "arrival", at `now` (UTC ms) or as soon after as order allows. */
export async function putDownFirst(tx: Tx, puts: readonly PutDown[], now: number): Promise<void> {
  await recordAsService(tx, puts.map(factOf), now);
}
