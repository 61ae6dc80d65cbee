// A table as CSV, out of the database: in pieces of a useful size, with its checksum on the way.
import { createHash } from 'node:crypto';
import { PassThrough, type Readable } from 'node:stream';
import type postgres from 'postgres';
import { csvColumnsOf, type KeptTable, quoted } from './kept-tables.ts';

const PIECE_BYTES = 128 * 1024;

export interface Sum {
  readonly bytes: number;
  readonly sha256: string;
}
export interface Measured {
  readonly stream: Readable;
  /** Known when the stream has ended; never rejects, because a broken stream says so itself. */
  readonly sum: Promise<Sum>;
}

/**
 * Hands on what comes from `source` in larger pieces, and sums it. The source is always read to its end, also when
 * nobody wants the rest any more: a copy that is left standing would hold its connection for ever. `onPieces` is told
 * how many came: one for each row when the database is the source.
 */
export function measure(source: Readable, onPieces: (pieces: number) => void = () => {}): Measured {
  const hash = createHash('sha256');
  const out = new PassThrough({ highWaterMark: 4 * PIECE_BYTES });
  let [bytes, waiting] = [0, 0];
  let pieces: Buffer[] = [];
  const flush = (): void => {
    const whole = Buffer.concat(pieces, waiting);
    onPieces(pieces.length);
    bytes += waiting;
    [pieces, waiting] = [[], 0];
    hash.update(whole);
    if (!out.destroyed && !out.write(whole)) {
      source.pause();
      out.once('drain', () => source.resume());
    }
  };
  const sum = new Promise<Sum>((resolve) => {
    source.on('data', (piece: Buffer) => {
      pieces.push(piece);
      waiting += piece.length;
      if (waiting >= PIECE_BYTES) flush();
    });
    source.once('end', () => {
      flush();
      out.end();
      resolve({ bytes, sha256: hash.digest('hex') });
    });
  });
  source.once('error', (error) => out.destroy(error));
  out.once('close', () => source.resume());
  return { stream: out, sum };
}

/** Makes values come out as the same text whoever asks: dates, bytes and fractions have settings in PostgreSQL. */
export async function settleForms(tx: postgres.TransactionSql): Promise<void> {
  await tx.unsafe(
    "set local datestyle = 'ISO, YMD'; set local timezone = 'UTC'; set local bytea_output = 'hex'; " +
      'set local extra_float_digits = 1; set local intervalstyle = iso_8601; set local statement_timeout = 0',
  );
}

/** The table as CSV (RFC 4180) with a heading, in its total order. */
export async function copyOut(tx: postgres.TransactionSql, table: KeptTable): Promise<Readable> {
  const columns = csvColumnsOf(table).map(quoted).join(', ');
  const source = await tx
    .unsafe(
      `copy (select ${columns} from ${quoted(table.name)} order by ${table.order}) to stdout with (format csv, header)`,
    )
    .readable();
  // The driver (3.4.9) lets its socket rest while the stream is full, and wakes it when more is asked for. When the end came
  // along with what filled it nobody asks for more, and the next statement would wait for ever: it is asked for here.
  source.once('end', () => source._read(0));
  return source;
}
