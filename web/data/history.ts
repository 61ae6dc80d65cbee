// All lines of one thing, and where it is by them: the same rule as on a phone, over the lines of this thing alone.
import { recordedSchema } from '#domain/feed.ts';
import { thingIdSchema } from '#domain/ids.ts';
import { livingLines, standingOf } from '#domain/ledger.ts';
import type { Recorded } from '#domain/movement.ts';
import type { Asked } from './ask.ts';
import { askAll, pageSchemaOf } from './pages.ts';
import { type Told, useAsked } from './use-answer.ts';

const pageSchema = pageSchemaOf(
  recordedSchema.transform(({ line, at, timeUncertain }): Recorded => ({ ...line, at, timeUncertain })),
);

/** So many of it are at a place; 1 for an item. When, by whom and at which stop it was put there is known of an item. */
export interface Whereabouts {
  readonly placeId: string;
  readonly number: number;
  readonly spot: string | null;
  readonly put: {
    readonly at: number;
    readonly personId: string | null;
    readonly stopId: string | null;
  } | null;
}
export interface History {
  /** The latest first, with the lines that were undone. */
  readonly lines: readonly Recorded[];
  readonly undone: ReadonlySet<string>;
  readonly whereabouts: readonly Whereabouts[];
}

function whereaboutsOf(thingId: string, lines: readonly Recorded[]): readonly Whereabouts[] {
  const id = thingIdSchema.parse(thingId);
  const standing = standingOf({ since: 0, base: [], levels: [], lines });
  const position = standing.positions.get(id);
  const levels = [...(standing.levels.get(id) ?? [])].map(([placeId, number]) => ({
    placeId,
    number,
    spot: null,
    put: null,
  }));
  if (position === undefined) return levels;
  const { placeId, spot, at, personId, stopId } = position;
  return [{ placeId, number: 1, spot, put: { at, personId, stopId } }, ...levels];
}

async function askHistory(path: string, signal: AbortSignal): Promise<Asked<History>> {
  const answer = await askAll(path, pageSchema, signal);
  if (!answer.ok) return answer;
  const lines = answer.body;
  const living = new Set(livingLines(lines).map(({ id }) => id));
  const undone = new Set(
    lines.filter(({ id, kind }) => kind !== 'void' && !living.has(id)).map(({ id }) => id),
  );
  const thingId = path.split('/')[3] ?? '';
  return { ...answer, body: { lines, undone, whereabouts: whereaboutsOf(thingId, lines) } };
}

export function useHistory(thingId: string): Told<History> {
  return useAsked(`/api/things/${thingId}/history`, askHistory);
}
