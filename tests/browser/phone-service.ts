// The real service with the phone page built for this test, and an outfit of the test's own making.
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'vite';
import { expect } from 'vitest';
import { loadDemo } from '../../prisma/demo/load-demo.ts';
import { askAt, type Reply, startService } from '../api/app.ts';
import { plainFacts } from '../api/facts.ts';

const SCANNER = fileURLToPath(new URL('../../scanner', import.meta.url));
const DAY_MS = 86_400_000;

export interface PhoneService {
  readonly origin: string;
  readonly ask: (method: string, path: string, body?: unknown) => Promise<Reply>;
  /** Asks for something that has to be answered with 200 or 201; its id. */
  readonly make: (path: string, body: unknown) => Promise<string>;
  /** What is entered counts as entered that many days ago, from now on. */
  readonly setDaysAgo: (days: number) => void;
  /** Fills the empty database with the demo outfit. */
  readonly loadDemo: () => Promise<void>;
  /** The service goes away, and comes back at the same address over the same database. */
  readonly stop: () => Promise<void>;
}

/** Builds the phone page once for a test file. */
export async function buildPhonePage(): Promise<{ readonly folder: string; readonly remove: () => void }> {
  const folder = mkdtempSync(join(tmpdir(), 'tailcount-phone-'));
  // vitest says "test" here, and React would come in its form for developers.
  const environment = process.env.NODE_ENV;
  process.env.NODE_ENV = 'production';
  await build({
    root: SCANNER,
    configFile: join(SCANNER, 'vite.config.ts'),
    logLevel: 'warn',
    build: { outDir: folder, emptyOutDir: true },
  });
  process.env.NODE_ENV = environment;
  return { folder, remove: () => rmSync(folder, { recursive: true, force: true }) };
}

export async function startPhoneService(folder: string): Promise<PhoneService> {
  let behindMs = 0;
  const service = await startService({
    clock: () => Date.now() - behindMs,
    staticFolders: { web: folder, scanner: folder },
  });
  const ask = (method: string, path: string, body?: unknown) => askAt(service.port, method, path, { body });
  const make = async (path: string, body: unknown): Promise<string> => {
    const reply = await ask('POST', path, body);
    expect(reply.status, reply.text).toBe(201);
    return String(reply.body.id);
  };
  return {
    origin: `http://127.0.0.1:${service.port}`,
    ask,
    make,
    setDaysAgo: (days) => {
      behindMs = days * DAY_MS;
    },
    loadDemo: () => loadDemo(service.database, Date.now()),
    stop: service.close,
  };
}

/** Names the outfit. Everything else is made by the test. */
export async function nameOutfit(service: PhoneService, lastLook: readonly string[] = []): Promise<void> {
  const facts = {
    name: 'Reed and Tide',
    currency: 'EUR',
    zone: 'Europe/Lisbon',
    units: 'metric',
    yearEnd: '12-31',
    mainsVolts: 230,
    dayTurnsMinutes: 300,
    lastLook,
  };
  const reply = await service.ask('PUT', '/api/outfit', facts);
  expect([200, 201], reply.text).toContain(reply.status);
}

export const placeFacts = (kind: string, name: string, more: Record<string, unknown> = {}) => ({
  kind,
  name,
  parentId: null,
  sort: 0,
  zone: null,
  address: null,
  note: null,
  ...more,
});

export const itemFacts = (name: string, placeId: string, more: Record<string, unknown> = {}) => ({
  ...plainFacts,
  name,
  placeId,
  ...more,
});

export const classFacts = (name: string, more: Record<string, unknown> = {}) => ({
  name,
  parentId: null,
  check: 'seen',
  forgotten: 0,
  essential: false,
  lifeMonths: null,
  residualPermille: null,
  needs: [],
  ...more,
});

export const partyFacts = (name: string, role: string) => ({
  name,
  role,
  contact: null,
  email: null,
  phone: null,
  address: null,
  note: null,
});
