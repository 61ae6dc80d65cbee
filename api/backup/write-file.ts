// Writes a backup file: everything of one moment, streamed, so that the size of the outfit does not matter.
import { open } from 'node:fs/promises';
import { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import type postgres from 'postgres';
import { ZipFile } from 'yazl';
import { assert } from '#domain/invariant.ts';
import { copyOut, measure, type Sum, settleForms } from './copy-out.ts';
import {
  entryOfFile,
  entryOfTable,
  type FilePart,
  FORMAT,
  FORMAT_VERSION,
  MANIFEST_ENTRY,
  type Manifest,
  manifestSchema,
  NOT_KEPT,
  README_ENTRY,
  README_TEXT,
  type TablePart,
} from './file-format.ts';
import { csvColumnsOf, type KeptTable, quoted, readKeptTables } from './kept-tables.ts';

/** Fast, and text still shrinks to a fifth; the last few percent would take three times as long. */
const COMPRESSION_LEVEL = 1;

/** How far it is: rows, counted. */
export type OnProgress = (done: number, all: number) => void;

export interface WriteOptions {
  /** UTC ms. */
  readonly at: number;
  readonly onProgress?: OnProgress;
  readonly signal?: AbortSignal;
}

/** A ZIP that is being written to a file of that name. */
interface Zip {
  readonly add: (entry: string, source: Readable, onPieces?: (pieces: number) => void) => Promise<Sum>;
  readonly end: (manifest: Manifest) => Promise<void>;
  /** Leaves nothing open after a failure. */
  readonly abandon: () => Promise<void>;
}

async function startZip(path: string, { at, signal }: WriteOptions): Promise<Zip> {
  const zip = new ZipFile();
  const file = await open(path, 'wx', 0o600);
  const output = Readable.from(zip.outputStream);
  const saved = pipeline(output, file.createWriteStream({ flush: true }), signal ? { signal } : {});
  const failed = Promise.race([saved, new Promise<never>((_, reject) => zip.once('error', reject))]);
  failed.catch(() => {}); // Whoever waits below hears of it.
  const add = async (
    entry: string,
    source: Readable,
    onPieces: (pieces: number) => void = () => {},
  ): Promise<Sum> => {
    const { stream, sum } = measure(source, onPieces);
    // What is a picture already does not shrink.
    const compressionLevel = entry.startsWith('files/') ? 0 : COMPRESSION_LEVEL;
    zip.addReadStream(stream, entry, { mtime: new Date(at), compressionLevel });
    try {
      const done = await Promise.race([sum, failed]);
      assert(done !== undefined, 'a file does not end before its last entry');
      return done;
    } catch (error) {
      stream.destroy();
      throw error;
    }
  };
  const end = async (manifest: Manifest): Promise<void> => {
    const text = JSON.stringify(manifestSchema.parse(manifest), null, 1);
    zip.addBuffer(Buffer.from(text), MANIFEST_ENTRY, {
      mtime: new Date(at),
      compressionLevel: COMPRESSION_LEVEL,
    });
    zip.end();
    await failed;
  };
  const abandon = async (): Promise<void> => {
    output.destroy();
    await saved.catch(() => {});
    await file.close().catch(() => {});
  };
  return { add, end, abandon };
}

/** The bytes of each row as a file of its own, one after the other. */
async function addFiles(tx: postgres.TransactionSql, table: KeptTable, zip: Zip): Promise<FilePart[]> {
  if (table.bytesColumn === null) return [];
  const name = quoted(table.name);
  const mime = table.hasMime ? 'mime' : 'null';
  const rows = await tx.unsafe<{ id: string; mime: string | null }[]>(
    `select id, ${mime} as mime from ${name} where ${quoted(table.bytesColumn)} is not null order by id`,
  );
  const parts: FilePart[] = [];
  for (const row of rows) {
    const [read] = await tx.unsafe<{ bytes: Uint8Array }[]>(
      `select ${quoted(table.bytesColumn)} as bytes from ${name} where id = $1`,
      [row.id],
    );
    assert(read !== undefined, 'a row of this moment is there as long as the moment is looked at');
    const entry = entryOfFile(table.name, row.id, row.mime);
    const sum = await zip.add(entry, Readable.from([Buffer.from(read.bytes)]));
    parts.push({ entry, ...sum, table: table.name, id: row.id });
  }
  return parts;
}

async function countRows(
  tx: postgres.TransactionSql,
  tables: readonly KeptTable[],
): Promise<ReadonlyMap<string, number>> {
  const counted = new Map<string, number>();
  for (const { name } of tables) {
    const [row] = await tx.unsafe<{ rows: number }[]>(`select count(*) as rows from ${quoted(name)}`);
    counted.set(name, row?.rows ?? 0);
  }
  return counted;
}

async function readAbout(tx: postgres.TransactionSql) {
  const [about] = await tx<{ outfit: string; postgresql: string; migrations: string[] }[]>`
    select (select name from outfit where id = 1) as outfit, current_setting('server_version') as postgresql,
      (select array_agg(migration_name::text order by migration_name collate "C") from _prisma_migrations
        where finished_at is not null and rolled_back_at is null) as migrations`;
  assert(about !== undefined, 'a row of single values is a row');
  return about;
}

async function addTables(
  tx: postgres.TransactionSql,
  zip: Zip,
  onProgress: OnProgress,
): Promise<Pick<Manifest, 'tables' | 'files'>> {
  const kept = await readKeptTables(tx);
  const counted = await countRows(tx, kept);
  const all = [...counted.values()].reduce((sum, rows) => sum + rows, 0);
  let done = 0;
  const tables: TablePart[] = [];
  const files: FilePart[] = [];
  for (const table of kept) {
    const rows = counted.get(table.name) ?? 0;
    const entry = entryOfTable(table.name);
    const sum = await zip.add(entry, await copyOut(tx, table), (pieces) => {
      done += pieces;
      onProgress(Math.min(done, all), all);
    });
    const { name, bytesColumn } = table;
    tables.push({ entry, ...sum, table: name, columns: [...csvColumnsOf(table)], rows, bytesColumn });
    files.push(...(await addFiles(tx, table, zip)));
  }
  onProgress(all, all);
  return { tables, files };
}

/**
 * Writes everything that the database holds at one moment to a new file at `path`, on disk when this ends, and answers
 * its manifest. Writers are not held up. There must be an outfit. Leaves half a file behind when it throws.
 */
export function writeBackup(sql: postgres.Sql, path: string, options: WriteOptions): Promise<Manifest> {
  return sql.begin('isolation level repeatable read read only', async (tx) => {
    await settleForms(tx);
    const about = await readAbout(tx);
    const zip = await startZip(path, options);
    try {
      const readme = {
        entry: README_ENTRY,
        ...(await zip.add(README_ENTRY, Readable.from([Buffer.from(README_TEXT)]))),
      };
      const parts = await addTables(tx, zip, options.onProgress ?? (() => {}));
      const manifest = {
        ...{ format: FORMAT, version: FORMAT_VERSION, ...about, madeAt: new Date(options.at).toISOString() },
        ...{ readme, ...parts, notKept: NOT_KEPT },
      } satisfies Manifest;
      await zip.end(manifest);
      return manifest;
    } catch (error) {
      await zip.abandon();
      throw error;
    }
  });
}
