// Opens a backup file and says in words what is wrong with one that cannot be used.
import { existsSync, statSync } from 'node:fs';
import type { Readable } from 'node:stream';
import { Writable } from 'node:stream';
import { buffer } from 'node:stream/consumers';
import { pipeline } from 'node:stream/promises';
import { crc32 } from 'node:zlib';
import { type Entry, openPromise, type ZipFile } from 'yauzl';
import { measure } from './copy-out.ts';
import {
  FORMAT_VERSION,
  formatSchema,
  MANIFEST_ENTRY,
  type Manifest,
  manifestSchema,
  type Part,
  partsOf,
  UnusableBackup,
} from './file-format.ts';

export interface Backup {
  readonly path: string;
  readonly manifest: Manifest;
  /** The bytes of a part, unpacked. */
  readonly read: (part: Part) => Promise<Readable>;
  readonly close: () => void;
}

const MANIFEST_BYTES_MAX = 500_000_000;
const NAMED_MAX = 5;
const TAKE_ANOTHER = 'Take another file: an older one, or another copy of this one. Nothing was changed.';

function refuseMissing(path: string): void {
  if (!existsSync(path)) throw new UnusableBackup(`There is no file ${path}.`);
  if (!statSync(path).isFile())
    throw new UnusableBackup(`${path} is no file. Name the backup file itself, which ends in .zip.`);
}

async function openZip(path: string): Promise<{ zip: ZipFile; entries: ReadonlyMap<string, Entry> }> {
  try {
    const zip = await openPromise(path, { autoClose: false, lazyEntries: true });
    const entries = new Map<string, Entry>();
    try {
      for await (const entry of zip.eachEntry()) entries.set(entry.fileName, entry);
    } catch (error) {
      zip.close();
      throw error;
    }
    return { zip, entries };
  } catch (error) {
    throw new UnusableBackup(
      `${path} cannot be read as a backup: its list of contents is missing or damaged, as in a file that was cut short ` +
        `(${error instanceof Error ? error.message : String(error)}). ${TAKE_ANOTHER}`,
      { cause: error },
    );
  }
}

function damaged(path: string, names: readonly string[]): UnusableBackup {
  const named = names.slice(0, NAMED_MAX).join(', ');
  const more = names.length > NAMED_MAX ? ` and ${names.length - NAMED_MAX} more` : '';
  return new UnusableBackup(`The backup file ${path} is damaged, in ${named}${more}. ${TAKE_ANOTHER}`);
}

async function readManifest(path: string, zip: ZipFile, entry: Entry | undefined): Promise<Manifest> {
  if (entry === undefined)
    throw new UnusableBackup(`${path} is a ZIP file, but no backup: there is no ${MANIFEST_ENTRY} in it.`);
  const isWhole = entry.uncompressedSize <= MANIFEST_BYTES_MAX;
  // Bytes that do not unpack are as damaged as bytes that unpack to something else.
  const unpack = () => zip.openReadStreamPromise(entry).then(buffer);
  const bytes = isWhole ? await unpack().catch(() => null) : null;
  if (bytes === null || crc32(bytes) !== entry.crc32) throw damaged(path, [MANIFEST_ENTRY]);
  const read = parseJson(bytes.toString('utf8'));
  const format = formatSchema.safeParse(read);
  if (!format.success) throw new UnusableBackup(`${path} is no backup of Tailcount.`);
  if (format.data.version > FORMAT_VERSION)
    throw new UnusableBackup(
      `${path} was written by a newer Tailcount (format ${format.data.version}; this one reads up to ${FORMAT_VERSION}). ` +
        'Install that newer Tailcount here, and restore with it.',
    );
  const manifest = manifestSchema.safeParse(read);
  if (!manifest.success) throw damaged(path, [MANIFEST_ENTRY]);
  return manifest.data;
}

function parseJson(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch (error) {
    if (error instanceof SyntaxError) return null;
    throw error;
  }
}

/** Opens a backup file. Throws `UnusableBackup` for one that is none, is cut short, or is of a newer format. */
export async function openBackup(path: string): Promise<Backup> {
  refuseMissing(path);
  const { zip, entries } = await openZip(path);
  try {
    const manifest = await readManifest(path, zip, entries.get(MANIFEST_ENTRY));
    const missing = partsOf(manifest).filter(({ entry }) => !entries.has(entry));
    if (missing.length > 0)
      throw damaged(
        path,
        missing.map(({ entry }) => entry),
      );
    const read = async (part: Part): Promise<Readable> => {
      const entry = entries.get(part.entry);
      if (entry === undefined) throw damaged(path, [part.entry]);
      return zip.openReadStreamPromise(entry);
    };
    return { path, manifest, read, close: () => zip.close() };
  } catch (error) {
    zip.close();
    throw error;
  }
}

async function isSound(backup: Backup, part: Part): Promise<boolean> {
  try {
    const { stream, sum } = measure(await backup.read(part));
    await pipeline(stream, new Writable({ write: (_piece, _encoding, done) => done() }));
    const { bytes, sha256 } = await sum;
    return bytes === part.bytes && sha256 === part.sha256;
  } catch {
    // Whatever is wrong with it (no ZIP entry there, bytes that do not unpack), it is not what was written.
    return false;
  }
}

/** Reads the whole file and compares every part with its checksum. Throws `UnusableBackup` with the damaged parts. */
export async function refuseDamaged(backup: Backup): Promise<void> {
  const bad: string[] = [];
  for (const part of partsOf(backup.manifest)) if (!(await isSound(backup, part))) bad.push(part.entry);
  if (bad.length > 0) throw damaged(backup.path, bad);
}
