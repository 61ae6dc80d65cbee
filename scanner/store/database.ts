// The phone's own database. What has not reached the service is written strictly: the disk has it before we say so.
import { type DBSchema, type IDBPDatabase, openDB } from 'idb';

const NAME = 'tailcount';
const VERSION = 1;

/** Values are unknown on purpose: everything that is read is parsed by rows.ts or the domain's schemas. */
interface Shape extends DBSchema {
  head: { key: string; value: unknown };
  thing: { key: string; value: unknown };
  place: { key: string; value: unknown };
  class: { key: string; value: unknown };
  stop: { key: string; value: unknown };
  job: { key: string; value: unknown };
  person: { key: string; value: unknown };
  line: { key: string; value: unknown };
  outbox: { key: number; value: unknown };
  outboxStop: { key: string; value: unknown };
  kept: { key: string; value: unknown };
  drawer: { key: string; value: unknown };
}

export type Database = IDBPDatabase<Shape>;
export const RECORD_STORES = ['thing', 'place', 'class', 'stop', 'job', 'person', 'line'] as const;
export type RecordStore = (typeof RECORD_STORES)[number];
const OWN_STORES = ['head', 'outbox', 'outboxStop', 'kept', 'drawer'] as const;
export const STRICT = { durability: 'strict' } as const;

/** Opens it, making what is not there. A newer page in another tab makes this one give way. */
export function openPhoneDatabase(): Promise<Database> {
  return openDB<Shape>(NAME, VERSION, {
    upgrade: (database) => {
      for (const name of [...RECORD_STORES, ...OWN_STORES]) database.createObjectStore(name);
    },
    blocking: (_current, _blocked, event) => {
      if (event.target instanceof IDBDatabase) event.target.close();
    },
  });
}
