// "desk javascript": what the desk fetches until its first screen, the tree, is there, gzip.
import { gzipSync } from 'node:zlib';
import postgres from 'postgres';
import { openBrowser } from '../browser/browser.ts';
import { printFigure } from './figure.ts';
import { startBenchServer, startService } from './service.ts';

const kilobytes = (bytes: number): number => Number((bytes / 1_000).toFixed(1));

async function enterOutfit(url: string): Promise<void> {
  const sql = postgres(url, { onnotice: () => {}, max: 1 });
  await sql`insert into outfit (id, name, currency, zone, last_look) values (1, 'Bench', 'EUR', 'UTC', '{}')`;
  await sql`insert into place (id, kind, name) values (gen_random_uuid(), 'store', 'Boathouse')`;
  await sql.end();
}

export async function benchDeskJavascript(): Promise<void> {
  const server = await startBenchServer();
  const url = await server.makeDatabase();
  await enterOutfit(url);
  const service = await startService(url);
  const { page, close } = await openBrowser();
  const sizes: Promise<number>[] = [];
  page.on('response', (response) => {
    if (new URL(response.url()).pathname.endsWith('.js'))
      sizes.push(response.body().then((body) => gzipSync(body).length));
  });
  try {
    await page.goto(service.url);
    await page.getByRole('treeitem', { name: /Boathouse/ }).waitFor();
    const fetched = await Promise.all(sizes);
    if (fetched.length === 0) throw new Error('no script was seen to be fetched');
    const total = kilobytes(fetched.reduce((sum, size) => sum + size, 0));
    printFigure({
      ...{ figure: 'desk javascript', value: total, unit: 'kB gzip', against: null, ratio: null },
      files: fetched.length,
    });
  } finally {
    await close();
    await service.stop();
    await server.stop();
  }
}
