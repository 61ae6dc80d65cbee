// What every address of the service does before any capability is asked: who may ask, what can be read, how it says no.
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { createServer } from 'node:http';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import express from 'express';
import { pino } from 'pino';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { z } from 'zod';
import { PROBLEMS } from '../../api/http/problem.ts';
import { defineRoute } from '../../api/http/route.ts';
import { catchFailures, serveRoutes } from '../../api/http/serve.ts';
import { askAt, askRaw, type Reply, type Service, startService } from './app.ts';

const folder = mkdtempSync(join(tmpdir(), 'tailcount-pages-'));
let service: Service;

beforeAll(async () => {
  for (const name of ['web', 'scanner']) {
    mkdirSync(join(folder, name, 'assets'), { recursive: true });
    writeFileSync(join(folder, name, 'index.html'), `<!doctype html><title>${name}</title>`);
    writeFileSync(join(folder, name, 'assets', 'page-1a2b3c.js'), 'export {};');
    writeFileSync(join(folder, name, 'sw.js'), '// worker');
  }
  const staticFolders = { web: join(folder, 'web'), scanner: join(folder, 'scanner') };
  service = await startService({ staticFolders, ownNames: ['reed.example'] });
});
afterAll(async () => {
  await service.close();
  rmSync(folder, { recursive: true });
});

/** Every refusal is a problem as RFC 9457 section 3 has it: its media type, and type, title, status that agree. */
function expectProblem(reply: Reply, kind: keyof typeof PROBLEMS): void {
  expect(reply.headers.get('content-type')).toMatch(/^application\/problem\+json/);
  expect(reply.body).toMatchObject({
    type: `/problems/${kind}`,
    title: PROBLEMS[kind].title,
    status: reply.status,
  });
  expect(reply.status).toBe(PROBLEMS[kind].status);
}

describe('what cannot be read', () => {
  const outfit = (body: unknown, headers?: Record<string, string>) =>
    service.ask('PUT', '/api/outfit', { body, headers: { 'content-type': 'application/json', ...headers } });

  test('an address that is none is a problem, with and without /api', async () => {
    expectProblem(await service.ask('GET', '/api/nothing'), 'no-such-address');
    expectProblem(await service.ask('GET', '/nothing.js'), 'no-such-address');
    expectProblem(await service.ask('POST', '/'), 'no-such-address');
  });

  test('a method that an address does not take is answered with those it takes (RFC 9110, 15.5.6)', async () => {
    const reply = await service.ask('DELETE', '/api/movements');
    expectProblem(reply, 'method-not-allowed');
    expect(reply.headers.get('allow')?.split(', ').sort()).toEqual(['GET', 'POST']);
  });

  test('a body that is no JSON, and one that is no UTF-8, are told from one that is', async () => {
    expectProblem(await outfit('{"name": '), 'unreadable-body');
    expectProblem(await outfit(''), 'unreadable-body');
    expectProblem(await outfit(new Uint8Array([0x22, 0xc3, 0x28, 0x22])), 'unreadable-body');
    expectProblem(await outfit('null'), 'invalid-request');
  });

  test('a body of another type is refused, also JSON in another alphabet', async () => {
    expectProblem(
      await outfit('name=Reed', { 'content-type': 'application/x-www-form-urlencoded' }),
      'unsupported-type',
    );
    expectProblem(await outfit('{}', { 'content-type': 'text/plain' }), 'unsupported-type');
    expectProblem(
      await outfit('{}', { 'content-type': 'application/json; charset=utf-16' }),
      'unsupported-type',
    );
  });

  test('a huge body is refused whole', async () => {
    expectProblem(await outfit(`"${'x'.repeat(17_000_000)}"`), 'body-too-large');
  });

  test('a packed body that would grow beyond the limit is refused, too', async () => {
    const { gzipSync } = await import('node:zlib');
    const packed = gzipSync(Buffer.from(`"${'x'.repeat(17_000_000)}"`));
    expectProblem(await outfit(new Uint8Array(packed), { 'content-encoding': 'gzip' }), 'body-too-large');
  });

  test('a body that says that it is packed and is not, or packed in an unknown way, is refused', async () => {
    for (const encoding of ['gzip', 'heron']) {
      const reply = await outfit('{}', { 'content-encoding': encoding });
      expect(reply.status).toBeGreaterThanOrEqual(400);
      expect(reply.status).toBeLessThan(500);
      expect(reply.body.type).toBe('/problems/not-acceptable-request');
    }
  });

  test('deep JSON is read and refused like any other that is not what was asked for', async () => {
    expectProblem(await outfit('['.repeat(200_000) + ']'.repeat(200_000)), 'invalid-request');
  });

  test('each field at fault is named by a JSON pointer (RFC 6901), an unknown one too', async () => {
    const reply = await outfit({
      name: 5,
      currency: 'eur',
      zone: 'Europe/Lisbon',
      lastLook: ['a', 1],
      'a/b~c': 1,
    });
    expectProblem(reply, 'invalid-request');
    expect(reply.body.errors).toEqual(
      expect.arrayContaining(
        ['/name', '/currency', '/units', '/lastLook/1', '/a~1b~0c'].map((pointer) =>
          expect.objectContaining({ pointer }),
        ),
      ),
    );
  });

  test('an escape in an address that is no UTF-8 is refused', async () => {
    const reply = await service.ask('GET', '/api/things/%E0%A4%A');
    expect(reply.status).toBe(400);
    expect(reply.body.type).toBe('/problems/not-acceptable-request');
  });
});

describe('who may ask', () => {
  const host = () => `127.0.0.1:${service.port}`;

  test.each(['evil.example', 'localhost.evil.example', 'a b', '', '127.0.0.1.evil.example:80'])(
    'a page of the host “%s” is not served, so that no name that points here can read',
    async (foreign) => {
      const { status } = await askRaw(service.port, '/api/health', { host: foreign });
      expect([400, 421]).toContain(status);
    },
  );

  test('addresses, localhost and a name of the service’s own are served', async () => {
    for (const own of [host(), `localhost:${service.port}`, `[::1]:${service.port}`, 'reed.example']) {
      expect((await askRaw(service.port, '/api/health', { host: own })).status, own).toBe(200);
    }
  });

  test('another site’s page is refused, also one from another port of this machine, also for reading', async () => {
    for (const origin of ['http://evil.example', 'null', 'http://127.0.0.1:1', `ftp://${host()}`]) {
      expectProblem(await service.ask('GET', '/api/health', { headers: { origin } }), 'foreign-origin');
      expectProblem(
        await service.ask('POST', '/api/movements', { headers: { origin }, body: {} }),
        'foreign-origin',
      );
    }
    expect(
      (await service.ask('GET', '/api/health', { headers: { origin: `http://${host()}` } })).status,
    ).toBe(200);
  });

  test('pages may run only the service’s own files', async () => {
    const policy = (await service.ask('GET', '/')).headers.get('content-security-policy') ?? '';
    expect(policy).toContain("script-src 'self' 'wasm-unsafe-eval'");
    expect(policy).toContain("worker-src 'self'");
    expect(policy).toContain("default-src 'self'");
    expect(policy).not.toContain('unsafe-inline');
  });

  // Headers from memory of the OWASP REST Security Cheat Sheet.
  test('data is no page: no browser runs it, frames it or guesses what it is; long data is packed', async () => {
    const { headers } = await service.ask('GET', '/api/health');
    expect(headers.get('content-security-policy')).toBe("default-src 'none';frame-ancestors 'none'");
    expect(headers.get('x-content-type-options')).toBe('nosniff');
    expect(headers.get('x-frame-options')).toBe('SAMEORIGIN');
    expect(headers.get('cache-control')).toBe('no-store');
    expect(headers.get('content-encoding')).toBeNull();
    expect((await service.ask('GET', '/api/docs')).headers.get('content-security-policy')).toContain(
      "script-src 'self'",
    );
    const long = await service.ask('POST', '/api/movements', {
      body: { clocks: [], movements: Array.from({ length: 30 }, () => 'no line') },
    });
    expect(long.status).toBe(200);
    expect(long.headers.get('content-encoding')).toMatch(/^(gzip|br|deflate)$/);
  });
});

describe('when something is wrong inside', () => {
  const boom = defineRoute({
    method: 'get',
    path: '/api/boom',
    summary: 'Breaks.',
    tag: 'Service',
    answers: { 200: z.string() },
    handle: () => Promise.reject(new Error('the password is heron')),
  });

  test('a fault of ours is a bare 500 with a request’s id; what happened stands in the log alone', async () => {
    const lines: string[] = [];
    const log = pino({ level: 'error' }, { write: (line: string) => void lines.push(line) });
    const app = express();
    const deps = { connections: service.database, clock: Date.now, log, databaseState: () => 'up' as const };
    serveRoutes(app, [boom], deps);
    app.use(catchFailures(deps));
    const server = createServer(app);
    await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
    const address = server.address();
    const port = typeof address === 'object' && address !== null ? address.port : 0;
    const reply = await askAt(port, 'GET', '/api/boom');
    server.closeAllConnections();
    server.close();
    expectProblem(reply, 'internal');
    expect(reply.text).not.toContain('heron');
    expect(lines.join('')).toContain('the password is heron');
    expect(lines.join('')).toContain(String(reply.body.requestId));
  });

  test('while the database is away every address that needs it says when to try again', async () => {
    const away = await startService({ databaseState: () => 'down' }, service.database);
    const replies = [
      await away.ask('GET', '/api/health'),
      await away.ask('GET', '/api/things'),
      await away.ask('POST', '/api/movements', { body: { clocks: [], movements: [1] } }),
    ];
    await away.close();
    for (const reply of replies) {
      expectProblem(reply, 'database-down');
      expect(reply.headers.get('retry-after')).toMatch(/^\d+$/);
    }
  });

  test('a database that cannot be reached in the middle of a request is the same', async () => {
    const { openConnections } = await import('../../api/database/connections.ts');
    const nowhere = await startService(
      { connections: openConnections('postgres://127.0.0.1:1/none') },
      service.database,
    );
    const reply = await nowhere.ask('GET', '/api/things');
    await nowhere.close();
    expectProblem(reply, 'database-down');
  });
});

describe('what is served', () => {
  test('health and the service’s time', async () => {
    expect((await service.ask('GET', '/api/health')).body).toEqual({ status: 'serving' });
    const before = Date.now();
    const { body } = await service.ask('GET', '/api/time');
    expect(body.at).toBeGreaterThanOrEqual(before);
    expect(body.at).toBeLessThanOrEqual(Date.now());
  });

  test('the desk at /, the phone page at /scan/, and either page for every address inside that is no file', async () => {
    for (const path of ['/', '/things/heron']) {
      expect((await service.ask('GET', path, { headers: { accept: 'text/html' } })).text).toContain(
        '<title>web',
      );
    }
    for (const path of ['/scan/', '/scan/count/1']) {
      expect((await service.ask('GET', path, { headers: { accept: 'text/html' } })).text).toContain(
        '<title>scanner',
      );
    }
    const moved = await service.ask('GET', '/scan');
    expect([moved.status, moved.headers.get('location')]).toEqual([308, '/scan/']);
  });

  test('a built file never changes; a page and the worker are asked for each time', async () => {
    const caching = async (path: string) => (await service.ask('GET', path)).headers.get('cache-control');
    expect(await caching('/assets/page-1a2b3c.js')).toBe('public, max-age=31536000, immutable');
    expect(await caching('/scan/assets/page-1a2b3c.js')).toBe('public, max-age=31536000, immutable');
    expect(await caching('/')).toBe('no-cache');
    expect(await caching('/scan/')).toBe('no-cache');
    expect(await caching('/scan/sw.js')).toBe('no-cache');
  });

  test('nothing above the built folders can be read', async () => {
    for (const path of [
      '/../package.json',
      '/%2e%2e/package.json',
      '/scan/..%2f..%2fpackage.json',
      '/.env',
    ]) {
      const { text } = await askRaw(service.port, path, { host: `127.0.0.1:${service.port}` });
      expect(text).not.toContain('"dependencies"');
    }
  });

  test('a long answer goes packed to whoever takes that', async () => {
    const reply = await service.ask('GET', '/api/openapi.json', { headers: { 'accept-encoding': 'gzip' } });
    expect(reply.headers.get('content-encoding')).toBe('gzip');
  });
});
