// The API's own description, held against the OpenAPI Specification 3.1.0 (sections named beside each check) and against
// the routes that are served.
import { afterAll, beforeAll, expect, test } from 'vitest';
import { ROUTES } from '../../api/app.ts';
import { PROBLEMS } from '../../api/http/problem.ts';
import { type Service, startService } from './app.ts';

type Json = Readonly<Record<string, unknown>>;
const isRecord = (value: unknown): value is Json =>
  typeof value === 'object' && value !== null && !Array.isArray(value);
const recordOf = (value: unknown): Json => (isRecord(value) ? value : {});
const listOf = (value: unknown): readonly Json[] => (Array.isArray(value) ? value.filter(isRecord) : []);

let service: Service;
let document: Json;
beforeAll(async () => {
  service = await startService();
  document = (await service.ask('GET', '/api/openapi.json')).body;
});
afterAll(() => service.close());

/** Every operation with its path and method. */
function operations() {
  return Object.entries(recordOf(document.paths)).flatMap(([path, item]) =>
    Object.entries(recordOf(item)).map(([method, operation]) => ({
      path,
      method,
      operation: recordOf(operation),
    })),
  );
}

function* everything(value: unknown): Generator<Json> {
  if (Array.isArray(value)) for (const item of value) yield* everything(item);
  if (!isRecord(value)) return;
  yield value;
  for (const item of Object.values(value)) yield* everything(item);
}

test('it is an OpenAPI 3.1 document with a title and a version (4.8.1, 4.8.2)', () => {
  expect(document.openapi).toMatch(/^3\.1\.\d+$/);
  expect(recordOf(document.info)).toMatchObject({ title: expect.any(String), version: expect.any(String) });
});

test('it holds exactly the routes that are served', () => {
  const told = operations().map(({ path, method }) => `${method} ${path}`);
  expect(told.sort()).toEqual(ROUTES.map((route) => `${route.method} ${route.path}`).sort());
});

test('no two routes share an address and a method', () => {
  const served = ROUTES.map((route) => `${route.method} ${route.path.replace(/\{\w+\}/g, '{}')}`);
  expect(new Set(served).size).toBe(served.length);
});

test('each part of an address in braces is a required path parameter, and no parameter is told twice (4.8.12)', () => {
  for (const { path, method, operation } of operations()) {
    const named = [...path.matchAll(/\{(\w+)\}/g)].map(([, name]) => name);
    const parameters = listOf(operation.parameters);
    const inPath = parameters.filter((parameter) => parameter.in === 'path');
    expect(inPath.map((parameter) => parameter.name).sort(), `${method} ${path}`).toEqual(named.sort());
    expect(inPath.every((parameter) => parameter.required === true)).toBe(true);
    const keys = parameters.map((parameter) => `${parameter.in} ${parameter.name}`);
    expect(new Set(keys).size).toBe(keys.length);
  }
});

test('every operation has an id of its own, a sentence, and answers with a description (4.8.10, 4.8.17)', () => {
  const ids = operations().map(({ operation }) => operation.operationId);
  expect(ids.every((id) => typeof id === 'string' && id !== '')).toBe(true);
  expect(new Set(ids).size).toBe(ids.length);
  for (const { path, operation } of operations()) {
    expect(operation.summary, path).toMatch(/\S/);
    const answers = Object.entries(recordOf(operation.responses));
    expect(
      answers.some(([status]) => status.startsWith('2')),
      path,
    ).toBe(true);
    for (const [status, answer] of answers) {
      expect(status).toMatch(/^[1-5]\d\d$/);
      expect(recordOf(answer).description, `${path} ${status}`).toMatch(/\S/);
    }
  }
});

test('every reference leads somewhere inside the document (4.8.23)', () => {
  for (const { $ref } of everything(document)) {
    if (typeof $ref !== 'string') continue;
    const parts = $ref.replace(/^#\//, '').split('/');
    const found = parts.reduce<unknown>((at, part) => recordOf(at)[part], document);
    expect(found, $ref).toBeDefined();
  }
});

test('every schema keeps to the types of JSON Schema 2020-12 (validation, 6.1.1)', () => {
  const known = new Set(['null', 'boolean', 'object', 'array', 'number', 'string', 'integer']);
  for (const { type, properties } of everything(document)) {
    if (properties === undefined || isRecord(type)) continue;
    for (const name of Array.isArray(type) ? type : [type ?? 'object'])
      expect(known.has(String(name))).toBe(true);
  }
});

test('what a route may refuse stands among its answers, as a problem', () => {
  for (const route of ROUTES) {
    const told = recordOf(recordOf(recordOf(document.paths)[route.path])[route.method]);
    for (const kind of route.refusals ?? []) {
      const answer = recordOf(recordOf(told.responses)[String(PROBLEMS[kind].status)]);
      expect(answer.description, `${route.method} ${route.path}`).toContain(kind);
      expect(Object.keys(recordOf(answer.content))).toContain('application/problem+json');
    }
  }
});

test('the page to read names every address and every problem, and needs nothing but the service', async () => {
  const page = await service.ask('GET', '/api/docs/');
  expect(page.status).toBe(200);
  for (const route of ROUTES) expect(page.text).toContain(`<code>${route.path}</code>`);
  for (const kind of Object.keys(PROBLEMS)) expect(page.text).toContain(`/problems/${kind}`);
  expect(page.text).not.toMatch(/<script|<style|\sstyle=|\son\w+=|(src|href)="(?!\/|#)/);
  const style = await service.ask('GET', '/api/docs/style.css');
  expect([style.status, style.headers.get('content-type')]).toEqual([200, 'text/css; charset=utf-8']);
});

test('every link of the page leads to a part of it or to an address of the service', async () => {
  const { text } = await service.ask('GET', '/api/docs/');
  const anchors = new Set([...text.matchAll(/id="([^"]+)"/g)].map(([, id]) => id));
  for (const [, href = ''] of text.matchAll(/href="([^"]+)"/g)) {
    if (href.startsWith('#')) expect(anchors.has(href.slice(1)), href).toBe(true);
    else expect((await service.ask('GET', href)).status, href).toBe(200);
  }
});
