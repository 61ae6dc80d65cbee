// Builds one page of a front end that only tests have, and serves it as the service does: same address, same policy.

import { mkdtempSync, rmSync } from 'node:fs';
import { readFile } from 'node:fs/promises';
import { createServer } from 'node:http';
import { tmpdir } from 'node:os';
import { extname, join, normalize } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'vite';

const PROJECT = fileURLToPath(new URL('../..', import.meta.url));
// As in api/app.ts.
const POLICY =
  "default-src 'self'; script-src 'self' 'wasm-unsafe-eval'; worker-src 'self'; img-src 'self' blob: data:; " +
  "media-src 'self' blob:; connect-src 'self'; object-src 'none'; base-uri 'none'; form-action 'self'";
const TYPES: Readonly<Record<string, string>> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript',
  '.css': 'text/css',
  '.svg': 'image/svg+xml',
  '.png': 'image/png',
  '.wasm': 'application/wasm',
  '.webmanifest': 'application/manifest+json',
};

export interface ServedPage {
  readonly origin: string;
  /** Where the built files are, for a test that puts newer ones there. */
  readonly folder: string;
  readonly stop: () => Promise<void>;
}

async function buildPage(
  frontEnd: 'web' | 'scanner',
  inputs: readonly string[],
  folder: string,
): Promise<void> {
  const root = join(PROJECT, frontEnd);
  await build({
    root,
    configFile: join(root, 'vite.config.ts'),
    logLevel: 'warn',
    build: {
      outDir: folder,
      emptyOutDir: true,
      rolldownOptions: { input: inputs.map((input) => join(root, input)) },
    },
  });
}

/** `inputs` are pages below the front end's folder; they are served at its address under the same path. */
export async function serveBuilt(
  frontEnd: 'web' | 'scanner',
  inputs: readonly string[],
): Promise<ServedPage> {
  const folder = mkdtempSync(join(tmpdir(), `tailcount-${frontEnd}-`));
  await buildPage(frontEnd, inputs, folder);
  const base = frontEnd === 'scanner' ? '/scan/' : '/';
  const server = createServer(async (req, res) => {
    const { pathname } = new URL(req.url ?? '/', 'http://127.0.0.1');
    try {
      const file = join(folder, normalize(`/${pathname.slice(base.length)}`));
      const content = await readFile(file);
      const type = TYPES[extname(file)] ?? 'application/octet-stream';
      res.writeHead(200, { 'content-type': type, 'content-security-policy': POLICY }).end(content);
    } catch {
      res.writeHead(404).end();
    }
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const address = server.address();
  const port = typeof address === 'object' && address ? address.port : 0;
  const stop = async (): Promise<void> => {
    server.closeAllConnections();
    await new Promise((resolve) => server.close(resolve));
    rmSync(folder, { recursive: true, force: true });
  };
  return { origin: `http://127.0.0.1:${port}`, folder, stop };
}
