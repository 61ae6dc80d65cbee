// The two ways to the database: the driver for what must be fast or that Prisma cannot say, Prisma for the
// everyday queries. Both use the same database; each has a pool of its own.
import { PrismaPg } from '@prisma/adapter-pg';
import postgres from 'postgres';
import { assert } from '#domain/invariant.ts';
import { PrismaClient } from '../../prisma/generated/client.ts';
import { openPatientSocket } from './patient-socket.ts';

const INT8 = 20;
const DATE = 1082;
const CONNECTIONS_PER_POOL = 10;
const CONNECT_SECONDS_MAX = 10;

/** PostgreSQL's int8 as a number: every whole number we keep (milliseconds, minor units, counts) is a safe one. */
function parseWholeNumber(text: string): number {
  const number = Number(text);
  assert(Number.isSafeInteger(number), 'an int8 that leaves the database is a safe whole number');
  return number;
}

/** With TLS the driver puts a socket of its own over the one it is given. */
function usesTls(url: string): boolean {
  return /[?&](ssl|sslmode)=(?!disable|false)/.test(url);
}

function connectDriver(url: string, connectionsMax: number) {
  return postgres(url, {
    max: connectionsMax,
    connect_timeout: CONNECT_SECONDS_MAX,
    onnotice: () => {},
    ...(usesTls(url) ? {} : { socket: openPatientSocket }),
    connection: { application_name: 'tailcount' },
    types: {
      bigint: {
        to: INT8,
        from: [INT8],
        serialize: (value: number | bigint) => String(value),
        parse: (text: string): number | bigint => parseWholeNumber(text),
      },
      // A calendar date has no clock and no zone: it stays the text 2026-03-04.
      calendarDate: {
        to: DATE,
        from: [DATE],
        serialize: (value: string) => value,
        parse: (text: string) => text,
      },
    },
  });
}

/** The driver as this service sets it: int8 comes as a safe number, a date as its text. */
export type Sql = ReturnType<typeof connectDriver>;

export type Connections = {
  readonly url: string;
  readonly sql: Sql;
  readonly prisma: PrismaClient;
  /** Waits for what is running, at most a few seconds, and closes every connection. */
  readonly close: () => Promise<void>;
};

/**
 * Opens both ways to the database at `url`; connections are made when first needed. `connectionsMax` bounds
 * each of the two pools.
 */
export function openConnections(url: string, connectionsMax: number = CONNECTIONS_PER_POOL): Connections {
  const sql = connectDriver(url, connectionsMax);
  const prisma = new PrismaClient({
    adapter: new PrismaPg({
      connectionString: url,
      max: connectionsMax,
      connectionTimeoutMillis: CONNECT_SECONDS_MAX * 1000,
      application_name: 'tailcount',
    }),
  });
  const close = async (): Promise<void> => {
    await Promise.all([sql.end({ timeout: 5 }), prisma.$disconnect()]);
  };
  return { url, sql, prisma, close };
}
