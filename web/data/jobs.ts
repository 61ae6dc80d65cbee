// Jobs and who they are for: read, made and edited.
import type { z } from 'zod';
import { partySchema } from '#domain/party.ts';
import { type Job, type jobFactsSchema, jobSchema } from '#domain/place.ts';
import { type Asked, ask } from './ask.ts';
import { askAll, pageSchemaOf } from './pages.ts';
import { type Told, useAnswer, useAsked } from './use-answer.ts';

export type JobFacts = z.infer<typeof jobFactsSchema>;
export interface Client {
  readonly id: string;
  readonly name: string;
}

const jobsSchema = pageSchemaOf(jobSchema);
const partiesSchema = pageSchemaOf(partySchema);

const askJobs = (path: string, signal: AbortSignal) => askAll(path, jobsSchema, signal);
async function askClients(path: string, signal: AbortSignal): Promise<Asked<readonly Client[]>> {
  const answer = await askAll(path, partiesSchema, signal);
  if (!answer.ok) return answer;
  return { ...answer, body: answer.body.filter(({ role }) => role === 'client' || role === 'other') };
}

export const useJobs = (): Told<readonly Job[]> => useAsked<readonly Job[]>('/api/jobs', askJobs);
export const useJob = (id: string): Told<Job> => useAnswer(`/api/jobs/${id}`, jobSchema);
export const useClients = (): Told<readonly Client[]> =>
  useAsked<readonly Client[]>('/api/parties', askClients);

/** Makes a job, or sets the facts of one that was read as `before`. */
export function saveJob(facts: JobFacts, before: Job | null): Promise<Asked<Job>> {
  if (before === null) return ask('/api/jobs', jobSchema, { method: 'POST', body: facts });
  return ask(`/api/jobs/${before.id}`, jobSchema, {
    method: 'PUT',
    body: facts,
    ifMatch: `"${before.version}"`,
  });
}

/** A new client, of whom only the name is known yet. */
export async function addClient(name: string): Promise<Asked<Client>> {
  const facts = { name, role: 'client', contact: null, email: null, phone: null, address: null, note: null };
  return ask('/api/parties', partySchema, { method: 'POST', body: facts });
}
