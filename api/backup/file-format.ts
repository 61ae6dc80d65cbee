// What a backup file is: a ZIP with one CSV per table, the pictures as files, and a manifest with checksums. Everything
// in it can be read without this program; the README.txt in it says how.
import { z } from 'zod';
import { UnusableDatabase } from '../database/migrate.ts';

export const FORMAT = 'tailcount-backup';
export const FORMAT_VERSION = 1;
export const MANIFEST_ENTRY = 'manifest.json';
export const README_ENTRY = 'README.txt';

/** Tables that stay behind, and why. Every other table of the schema is in the file. */
export const NOT_KEPT: Readonly<Record<string, string>> = {
  change:
    'The feed begins anew, so that phones notice that the database was restored and send their lines again.',
  change_waiting: 'Changes on their way into the feed.',
  backup_run: 'What became of earlier backup files; it belongs to the machine that wrote them.',
  _prisma_migrations: 'The list of migrations is in the manifest.',
};

/** Said to the person who restores a file, as it stands. */
export class UnusableBackup extends UnusableDatabase {}

const sha256Schema = z.string().regex(/^[0-9a-f]{64}$/);
const partSchema = z.strictObject({ entry: z.string(), bytes: z.int(), sha256: sha256Schema });

export const tablePartSchema = partSchema.extend({
  table: z.string(),
  columns: z.array(z.string()),
  rows: z.int(),
  /** The column whose bytes are files of their own, one per row, named by the row's id. */
  bytesColumn: z.string().nullable(),
});
export type TablePart = z.infer<typeof tablePartSchema>;

export const filePartSchema = partSchema.extend({ table: z.string(), id: z.uuid() });
export type FilePart = z.infer<typeof filePartSchema>;

/** What is read first, and must be readable in a file of any version. */
export const formatSchema = z.looseObject({ format: z.literal(FORMAT), version: z.int().min(1) });

export const manifestSchema = z.strictObject({
  format: z.literal(FORMAT),
  version: z.literal(FORMAT_VERSION),
  outfit: z.string(),
  /** UTC, ISO 8601. */
  madeAt: z.iso.datetime(),
  postgresql: z.string(),
  /** The migrations that made the schema; the last one is the schema's version. */
  migrations: z.array(z.string()).min(1),
  readme: partSchema,
  tables: z.array(tablePartSchema),
  files: z.array(filePartSchema),
  notKept: z.record(z.string(), z.string()),
});
export type Manifest = z.infer<typeof manifestSchema>;
export type Part = z.infer<typeof partSchema>;

/** The parts of a file whose checksums the manifest knows. */
export function partsOf({ readme, tables, files }: Manifest): readonly Part[] {
  return [readme, ...tables, ...files];
}

export const entryOfTable = (table: string): string => `tables/${table}.csv`;

const ENDINGS: Readonly<Record<string, string>> = {
  'image/jpeg': 'jpg',
  'image/png': 'png',
  'image/webp': 'webp',
  'application/pdf': 'pdf',
};
/** Where the bytes of one row are: files/picture/<id>.jpg. */
export function entryOfFile(table: string, id: string, mime: string | null): string {
  return `files/${table}/${id}.${ENDINGS[mime ?? ''] ?? 'bin'}`;
}

export const README_TEXT = `This is a backup of a Tailcount outfit: everything the outfit's database held at one moment.

To restore it, on a machine with Tailcount and an empty data folder:

    npm start -- --restore THIS-FILE.zip

To read it without Tailcount, unpack it (any ZIP program that knows ZIP64):

  manifest.json       who, when, which schema; for each part its rows, bytes and SHA-256
  tables/NAME.csv     one table each: UTF-8, comma, quotation marks as in RFC 4180, the first row names the columns
  files/TABLE/ID.jpg  pictures and papers, one file for each row of that table

In the CSV files
  - nothing between two commas is "no value"; two quotation marks ("") are an empty text
  - t and f are yes and no
  - columns that end in _at, and the columns at, since and until, are milliseconds since 1970-01-01 00:00 UTC
  - columns that end in _on, and whose_from and whose_until, are calendar dates
  - columns that end in _minor are amounts of money in the smallest unit of the currency beside them
  - {a,b} is a list; a value that begins with { and a quotation mark is JSON

movement.csv is the ledger. A thing is where its latest move (by at, then id) put it that no line of kind "void" names.
position.csv and stock_level.csv say the same for every thing, worked out.

To check a part by hand:  sha256sum tables/movement.csv  and compare with manifest.json.
`;
