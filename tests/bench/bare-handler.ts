// The opponent of "single movement": the barest handler that parses a movement with the project's own schema and runs
// the fixed statement of reference.sql. It keeps no law of the ledger.
import { readFileSync } from 'node:fs';
import express from 'express';
import postgres from 'postgres';
import { z } from 'zod';
import { batchSchema, movementSchema } from '#domain/movement.ts';

const settings = z.object({ DATABASE_URL: z.string(), PORT: z.coerce.number() }).parse(process.env);
const [tables, statement] = readFileSync(new URL('reference.sql', import.meta.url), 'utf8').split(
  '-- statement',
);
if (tables === undefined || statement === undefined)
  throw new Error('reference.sql has tables and a statement');

const sql = postgres(settings.DATABASE_URL, { max: 10, onnotice: () => {} });
await sql.unsafe(tables);

const app = express();
app.use(express.json());
app.get('/api/health', (_req, res) => void res.json({ status: 'serving' }));
app.post('/api/movements', async (req, res) => {
  const line = movementSchema.parse(batchSchema.parse(req.body).movements[0]);
  if (line.kind !== 'move' || line.thingId === null) throw new Error('the bench sends moves of things');
  const values = [line.id, line.thingId, line.toId, line.deviceAt, JSON.stringify(line)];
  await sql.unsafe(statement, values, { prepare: true });
  res.json({ answers: [{ answer: 'recorded', id: line.id, at: line.deviceAt, timeUncertain: false }] });
});
app.listen(settings.PORT, '127.0.0.1');
