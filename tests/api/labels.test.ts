// Labels over HTTP, on a real PostgreSQL: what may carry one, tags for what has none, sheets and single labels.
import { randomUUID } from 'node:crypto';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { z } from 'zod';
import { tagCodeSchema } from '#domain/tag-code.ts';
import { labelledSchema } from '../../api/labels/read-labelled.ts';
import { prepareDecoder, read, renderPages } from '../labels/reading.ts';
import { changesOf, faultOf, makeItem, makePlace, type RecordService, startRecord } from './record-client.ts';

let service: RecordService;
beforeAll(async () => {
  prepareDecoder();
  service = await startRecord();
});
afterAll(() => service.close());

const givenSchema = z.object({ given: z.array(z.object({ id: z.string(), code: tagCodeSchema })) });

async function give(body: object) {
  const reply = await service.ask('POST', '/api/labels/tags', body);
  expect(reply.status, reply.text).toBe(200);
  return givenSchema.parse(reply.body).given;
}

async function tagged(name: string, facts: Record<string, unknown> = {}): Promise<string> {
  const [first] = await give({ thingIds: [await makeItem(service, { name, ...facts })] });
  if (first === undefined) throw new Error('one thing gets one tag');
  return first.code;
}

/** The bytes of an answer that is no text. */
async function bytesOf(method: string, path: string, body?: object) {
  const response = await fetch(`http://127.0.0.1:${service.port}${path}`, {
    method,
    ...(body === undefined
      ? {}
      : { body: JSON.stringify(body), headers: { 'content-type': 'application/json' } }),
  });
  const bytes = new Uint8Array(await response.arrayBuffer());
  return { status: response.status, type: response.headers.get('content-type'), bytes };
}

const listSchema = z.object({ labels: z.array(labelledSchema), next: z.string().nullable() });

async function readAll() {
  const all: z.infer<typeof labelledSchema>[] = [];
  for (let after = ''; ; ) {
    const { body } = await service.ask('GET', `/api/labels?limit=3${after}`);
    const page = listSchema.parse(body);
    all.push(...page.labels);
    if (page.next === null) return all;
    after = `&after=${encodeURIComponent(page.next)}`;
  }
}

describe('what may carry a label', () => {
  test('comes in home order, page by page, places before what is in them', async () => {
    const shed = await makePlace(service, { name: 'Reed shed', sort: 7 });
    const drawer = await makePlace(service, {
      name: 'Drawer B',
      kind: 'compartment',
      parentId: shed,
      sort: 2,
    });
    const upper = await makePlace(service, {
      name: 'Drawer A',
      kind: 'compartment',
      parentId: shed,
      sort: 1,
    });
    const homes = (placeId: string) => [{ way: 'driving', placeId, number: 1 }];
    const ids = [
      shed,
      upper,
      await makeItem(service, { name: 'Float line', homes: homes(upper) }),
      drawer,
      await makeItem(service, { name: 'Anchor', homes: homes(drawer) }),
      await makeItem(service, { name: 'Boat hook', homes: homes(drawer) }),
    ];
    const mine = (await readAll()).filter(({ id }) => ids.includes(id));
    expect(mine.map(({ id }) => id)).toEqual(ids);
    expect(mine.map(({ home }) => home.map(({ name }) => name).join(' / '))).toEqual([
      '',
      'Reed shed',
      'Reed shed / Drawer A',
      'Reed shed',
      'Reed shed / Drawer B',
      'Reed shed / Drawer B',
    ]);
  });

  test('names the newest tag, and none of a maker’s codes', async () => {
    const id = await makeItem(service, { name: 'Depth sounder' });
    await service.ask('PUT', '/api/codes/MARSH-0007', { thingId: id });
    const before = (await readAll()).find((one) => one.id === id);
    const [tag] = await give({ thingIds: [id] });
    const after = (await readAll()).find((one) => one.id === id);
    expect([before?.tag, after?.tag]).toEqual([null, tag?.code]);
  });
});

describe('giving tags', () => {
  test('gives one to each thing and place that has none, and the same again changes nothing', async () => {
    const [thingId, placeId] = [
      await makeItem(service),
      await makePlace(service, { name: 'Bow locker', kind: 'store' }),
    ];
    const first = await give({ thingIds: [thingId], placeIds: [placeId] });
    expect(new Set(first.map(({ id }) => id))).toEqual(new Set([thingId, placeId]));
    expect(await give({ thingIds: [thingId], placeIds: [placeId] })).toEqual(first);
    const { body } = await service.ask('GET', `/api/codes/${first[0]?.code}`);
    expect(body).toMatchObject({ means: 'thing', ties: [{ thingId }] });
    expect(await changesOf(service, placeId)).toContain('place');
  });

  test('two desks at once give one thing one tag', async () => {
    const id = await makeItem(service);
    const both = await Promise.all([give({ thingIds: [id] }), give({ thingIds: [id] })]);
    expect(both[0]).toEqual(both[1]);
  });

  test('a thing that is not known is named, and nobody gets a tag', async () => {
    const id = await makeItem(service);
    const reply = await service.ask('POST', '/api/labels/tags', { thingIds: [id, randomUUID()] });
    expect(faultOf(reply)).toEqual({
      status: 422,
      type: '/problems/unknown-reference',
      pointers: ['/thingIds/1'],
    });
    expect((await readAll()).find((one) => one.id === id)?.tag).toBeNull();
  });
});

describe('a sheet', () => {
  test('comes as a PDF whose labels read back, beginning at the place that was asked for', async () => {
    const codes = [await tagged('Punt pole'), await tagged('Waders')];
    const body = { format: 'a4-8', codes, start: 8, contact: '+351 912 000 111' };
    const { status, type, bytes } = await bytesOf('POST', '/api/labels/sheet.pdf', body);
    expect([status, type]).toEqual([200, 'application/pdf']);
    const pages = await renderPages(bytes, 150);
    expect(await Promise.all(pages.map((page) => read(page, 'QRCode')))).toEqual([[codes[0]], [codes[1]]]);
  });

  test('can be looked at as SVG before', async () => {
    const codes = [await tagged('Rain hood')];
    const { status, text, headers } = await service.ask('POST', '/api/labels/sheet.svg', {
      format: 'letter-30',
      codes,
    });
    expect(status).toBe(200);
    expect(headers.get('content-type')).toContain('image/svg+xml');
    expect(text.slice(0, 90)).toContain('width="215.9mm" height="279.4mm"');
  });

  test.each([
    ['a code that is no tag', { codes: ['HELLO'] }, 422, '/problems/not-a-tag', []],
    ['a place past the sheet’s last', { start: 9 }, 422, '/problems/contradiction', ['/start']],
    [
      'a symbol that does not go on it',
      { format: 'a4-189', symbol: 'code-128' },
      422,
      '/problems/contradiction',
      ['/symbol'],
    ],
    ['a format nobody knows', { format: 'a3-1' }, 400, '/problems/invalid-request', ['/format']],
    ['no codes', { codes: [] }, 400, '/problems/invalid-request', ['/codes']],
    ['a name as contact', { contact: 'Marsh Films' }, 400, '/problems/invalid-request', ['/contact']],
    ['a broken printer', { dpi: 72 }, 400, '/problems/invalid-request', ['/dpi']],
    ['a field of no meaning', { colour: 'red' }, 400, '/problems/invalid-request', ['/colour']],
    [
      'more than a print holds',
      { codes: Array(5_001).fill('TC') },
      400,
      '/problems/invalid-request',
      ['/codes'],
    ],
  ])('is refused for %s', async (_what, change, status, type, pointers) => {
    const codes = [await tagged('Bilge pump')];
    const reply = await service.ask('POST', '/api/labels/sheet.pdf', { format: 'a4-8', codes, ...change });
    expect(faultOf(reply)).toEqual({ status, type, pointers });
  });

  test('the calibration page is one page of the sheet’s paper', async () => {
    const { status, bytes } = await bytesOf(
      'GET',
      '/api/labels/calibration.pdf?format=letter-30&shiftXMm=1.5',
    );
    expect(status).toBe(200);
    const pages = await renderPages(bytes, 72);
    expect(pages.map(({ width, height }) => [width, height])).toEqual([[612, 792]]);
    expect((await bytesOf('GET', '/api/labels/calibration.pdf?format=letter-30&shiftXMm=left')).status).toBe(
      400,
    );
    expect((await bytesOf('GET', '/api/labels/calibration.pdf')).status).toBe(400);
  });
});

describe('a single label', () => {
  test('is an SVG in millimetres with the code as its title', async () => {
    const code = await tagged('Tide table <b>&amp;');
    const { status, text } = await service.ask('GET', `/api/codes/${code}/label.svg?format=roll-12&dpi=300`);
    expect(status).toBe(200);
    // 472 and 142 dots of 25.4 / 300 mm.
    expect(text.slice(0, 200)).toContain('width="39.9627mm" height="12.0227mm" viewBox="0 0 472 142"');
    expect(text.slice(0, 200)).toContain(`<title>TC-${code.slice(2, 8)}-${code.slice(8)}</title>`);
  });

  test('is a PNG of one pixel for each dot, and reads back', async () => {
    const code = await tagged('Tide table');
    const { status, type, bytes } = await bytesOf(
      'GET',
      `/api/codes/${code}/label.png?format=roll-24&dpi=203`,
    );
    expect([status, type]).toEqual([200, 'image/png']);
    expect(await read(bytes, 'DataMatrix')).toEqual([code]);
  });

  test.each([
    ['HELLO', '', 422],
    ['TAG', '?dpi=72', 400],
    ['TAG', '?dpi=', 400],
    ['TAG', '?format=none', 400],
    ['TAG', '?symbol=smiley', 400],
    ['TAG', '?contact=Alder', 400],
    ['TAG', '?colour=red', 400],
    ['TAG', '?format=a4-189&symbol=code-128', 422],
  ])('is not drawn for %s%s', async (code, query, status) => {
    const text = code === 'TAG' ? await tagged('Sieve') : code;
    for (const kind of ['svg', 'png'])
      expect((await service.ask('GET', `/api/codes/${text}/label.${kind}${query}`)).status).toBe(status);
  });
});
