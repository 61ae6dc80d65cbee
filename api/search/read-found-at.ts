// Where what was found is now: the place it was put down in, and what that is inside of, outwards.
import type postgres from 'postgres';
import type { PlaceId } from '#domain/ids.ts';
import type { FoundAt } from '#domain/search-hit.ts';

type Step = FoundAt['chain'][number];

/** Each place with what it is inside of now, itself first. Containers that are said to be in each other end there. */
async function readChains(
  tx: postgres.ISql,
  places: readonly string[],
): Promise<ReadonlyMap<string, readonly Step[]>> {
  const rows = await tx<{ start: string; id: PlaceId; name: string }[]>`
    with recursive outwards as (
      select p.id as start, p.id, p.name, 0 as steps, coalesce(p.parent_id, x.place_id) as outer_id
      from place p left join position x on x.thing_id = p.thing_id where p.id = any(${[...places]}::uuid[])
      union all
      select o.start, p.id, p.name, o.steps + 1, coalesce(p.parent_id, x.place_id)
      from outwards o join place p on p.id = o.outer_id left join position x on x.thing_id = p.thing_id)
      cycle id set is_again using walked
    select start, id, name from outwards where not is_again order by start, steps`;
  const chains = new Map<string, Step[]>();
  for (const { start, id, name } of rows) {
    const chain = chains.get(start);
    if (chain === undefined) chains.set(start, [{ id, name }]);
    else chain.push({ id, name });
  }
  return chains;
}

interface Standing {
  readonly id: string;
  readonly placeId: string;
  readonly number: number;
  readonly spot: string | null;
}

function readStandings(tx: postgres.ISql, things: readonly string[], places: readonly string[]) {
  return tx<Standing[]>`
    select x.thing_id as id, x.place_id as "placeId", 1::float8 as number, m.body->>'spot' as spot
    from position x left join movement m on m.id = x.movement_id where x.thing_id = any(${[...things]}::uuid[])
    union all
    select thing_id, place_id, number::float8, null from stock_level
    where thing_id = any(${[...things]}::uuid[]) and number <> 0
    union all
    select id, parent_id, 1, null from place where id = any(${[...places]}::uuid[]) and parent_id is not null
    order by number desc, "placeId"`;
}

/** Where each of the things and places is, by its id; nothing for one that was never put down. Most of it first. */
export async function readFoundAt(
  tx: postgres.ISql,
  things: readonly string[],
  places: readonly string[],
): Promise<ReadonlyMap<string, readonly FoundAt[]>> {
  const standings = await readStandings(tx, things, places);
  const chains = await readChains(tx, [...new Set(standings.map(({ placeId }) => placeId))]);
  const at = new Map<string, FoundAt[]>();
  for (const { id, placeId, number, spot } of standings) {
    const one = { number, spot, chain: [...(chains.get(placeId) ?? [])] };
    at.set(id, [...(at.get(id) ?? []), one]);
  }
  return at;
}
