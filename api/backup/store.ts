// What the database keeps of backups: the folder, and what became of each file.
import type postgres from 'postgres';
import type { BackupOutcome } from '#domain/backup.ts';

/** Held by the one process that makes a backup, on a connection of its own: it ends with that process. */
export const BACKUP_LOCK = 843_711_208;

export interface Run {
  readonly id: string;
  readonly startedAt: number;
  readonly folder: string;
  readonly file: string;
  readonly step: 'writing' | 'checking' | BackupOutcome;
  readonly rowsDone: number;
  readonly rowsAll: number;
  readonly trouble: string | null;
}

export async function readFolder(sql: postgres.ISql): Promise<string | null> {
  const [row] = await sql<{ folder: string }[]>`select folder from backup_setting where id = 1`;
  return row?.folder ?? null;
}

export async function keepFolder(sql: postgres.ISql, folder: string | null): Promise<void> {
  if (folder === null) await sql`delete from backup_setting`;
  else
    await sql`insert into backup_setting (folder) values (${folder}) on conflict (id) do update set folder = excluded.folder`;
}

/** When this database was made, UTC ms. */
export async function readKeptSince(sql: postgres.ISql): Promise<number> {
  const [row] = await sql<{ at: number }[]>`
    select (extract(epoch from min(started_at)) * 1000)::bigint as at from _prisma_migrations`;
  return row?.at ?? 0;
}

/** The newest runs, newest first. */
export async function readRuns(sql: postgres.ISql, limit: number): Promise<readonly Run[]> {
  return sql<Run[]>`
    select id, started_at as "startedAt", folder, file, step, rows_done as "rowsDone", rows_all as "rowsAll", trouble
    from backup_run order by started_at desc, id limit ${limit}`;
}

/** When the newest file that can be relied on was made, UTC ms. */
export async function readLastGoodAt(sql: postgres.ISql): Promise<number | null> {
  const [row] = await sql<{ at: number | null }[]>`
    select max(started_at) as at from backup_run where step in ('good', 'not-checked')`;
  return row?.at ?? null;
}

/** Whether any process on this database makes a backup just now. */
export async function isRunning(sql: postgres.ISql): Promise<boolean> {
  const rows = await sql`
    select from pg_locks where locktype = 'advisory' and classid = 0 and objid = ${BACKUP_LOCK} and objsubid = 1 and granted
      and database = (select oid from pg_database where datname = current_database())`;
  return rows.count > 0;
}

export async function addRun(
  sql: postgres.ISql,
  run: Pick<Run, 'id' | 'startedAt' | 'folder' | 'file'>,
): Promise<void> {
  await sql`
    insert into backup_run (id, started_at, folder, file, step)
    values (${run.id}, ${run.startedAt}, ${run.folder}, ${run.file}, 'writing')`;
}

export async function tellProgress(
  sql: postgres.ISql,
  id: string,
  facts: { readonly step: 'writing' | 'checking'; readonly done: number; readonly all: number },
): Promise<void> {
  await sql`
    update backup_run set step = ${facts.step}, rows_done = ${facts.done}, rows_all = ${facts.all}
    where id = ${id} and ended_at is null`;
}

export async function endRun(
  sql: postgres.ISql,
  id: string,
  end: {
    readonly step: BackupOutcome;
    readonly at: number;
    readonly bytes: number | null;
    readonly trouble: string | null;
  },
): Promise<void> {
  await sql`
    update backup_run set step = ${end.step}, ended_at = greatest(${end.at}, started_at), bytes = ${end.bytes}, trouble = ${end.trouble},
      check_database = null
    where id = ${id}`;
}

/** Runs that a kill or a lost database left open; only under the lock. Answers the throw-away databases they left behind. */
export async function endCutShort(sql: postgres.ISql, now: number): Promise<readonly string[]> {
  const rows = await sql<{ database: string | null }[]>`
    update backup_run open set step = 'failed', ended_at = greatest(${now}, before.started_at), check_database = null,
      trouble = 'It was cut short, because the service or its database was stopped.'
    from backup_run before where before.id = open.id and open.ended_at is null
    returning before.check_database as database`;
  return rows.flatMap(({ database }) => (database === null ? [] : [database]));
}

export async function noteCheckDatabase(sql: postgres.ISql, id: string, database: string): Promise<void> {
  await sql`update backup_run set check_database = ${database} where id = ${id}`;
}
