// Makes and edits jobs: bookings for a client, with their stops.

import type { z } from 'zod';
import type { Job, jobFactsSchema } from '#domain/place.ts';
import type { RecordRefusal } from '#domain/record.ts';
import type { Tx } from '../database/decide.ts';
import { announceChange } from '../record/announce.ts';
import type { RecordKind } from '../record/keep.ts';
import { readJobs } from './store.ts';

export type JobFacts = z.infer<typeof jobFactsSchema>;

function columnsOf(facts: JobFacts) {
  return {
    name: facts.name,
    party_id: facts.partyId,
    starts_on: facts.startsOn,
    ends_on: facts.endsOn,
    note: facts.note,
  };
}

async function check(tx: Tx, _id: string, facts: JobFacts): Promise<RecordRefusal | null> {
  if (facts.startsOn !== null && facts.endsOn !== null && facts.endsOn < facts.startsOn)
    return {
      kind: 'contradiction',
      fields: [{ pointer: '/endsOn', detail: 'lies before the first day; swap or correct the two dates' }],
    };
  if (facts.partyId === null) return null;
  const known = await tx`select from party where place_id = ${facts.partyId}`;
  if (known.count > 0) return null;
  return {
    kind: 'unknown-reference',
    fields: [{ pointer: '/partyId', detail: 'names no party; enter the client under parties first' }],
  };
}

export const jobKind: RecordKind<JobFacts, Job> = {
  table: 'job',
  readOne: async (tx, id) => (await readJobs(tx, [id]))[0] ?? null,
  factsOf: ({ id: _id, version: _version, ...facts }) => facts,
  check,
  insert: async (tx, id, facts) => {
    const written = await tx`insert into job ${tx({ id, ...columnsOf(facts) })} on conflict (id) do nothing`;
    if (written.count === 0) return 'taken';
    await announceChange(tx, 'job', id);
    return null;
  },
  update: async (tx, id, facts, kept) => {
    await tx`update job set ${tx(columnsOf(facts))}, version = version + 1 where id = ${id}`;
    // A stop is read with its job's name.
    const stops =
      kept.name === facts.name ? [] : await tx<{ id: string }[]>`select id from stop where job_id = ${id}`;
    await announceChange(tx, 'job', id);
    await announceChange(tx, 'stop', ...stops.map((stop) => stop.id));
    return null;
  },
};
