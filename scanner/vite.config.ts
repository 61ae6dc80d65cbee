// Builds the phone page: scanner/ → scanner/dist, served at "/scan/", with the service worker that keeps it.
import { createHash } from 'node:crypto';
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import react from '@vitejs/plugin-react';
import { defineConfig, type Plugin, transformWithOxc } from 'vite';

const folder = fileURLToPath(new URL('.', import.meta.url));
const workerSource = join(folder, 'worker', 'service-worker.ts');

/** Name → content of the files that are copied as they are. */
function publicFiles(): ReadonlyMap<string, Buffer> {
  const names = readdirSync(join(folder, 'public'));
  return new Map(names.map((name) => [name, readFileSync(join(folder, 'public', name))]));
}

/**
 * Writes sw.js with the list of all built files in it, and a version that changes when any of them does. It is one
 * plain script without imports, because not every phone can load a service worker in parts.
 */
function keepBuiltFiles(): Plugin {
  return {
    name: 'keep-built-files',
    apply: 'build',
    enforce: 'post',
    generateBundle: {
      order: 'post',
      async handler(_options, bundle) {
        const files = new Map<string, string | Uint8Array>(publicFiles());
        for (const [name, made] of Object.entries(bundle)) {
          if (!name.endsWith('.map')) files.set(name, made.type === 'chunk' ? made.code : made.source);
        }
        const version = createHash('sha256');
        for (const [name, content] of [...files].sort()) version.update(name).update(content);
        const built = { version: version.digest('hex').slice(0, 16), files: [...files.keys()].sort() };
        const { code } = await transformWithOxc(readFileSync(workerSource, 'utf8'), workerSource);
        const script = code.replace(/^export \{\};?$/m, '');
        const source = `const BUILT = ${JSON.stringify(built)};\n${script}`;
        this.emitFile({ type: 'asset', fileName: 'sw.js', source });
      },
    },
  };
}

const JSON_SCHEMA_PARTS = [
  ...['createStandardJSONSchemaMethod', 'createToJSONSchemaMethod', 'extractDefs', 'finalize'],
  ...['handleUnrepresentable', 'initializeContext', 'processSchema'],
];

/**
 * The phone parses and describes no schema, but every schema carries what would describe it: almost 3 kB that are left
 * out. A name that a newer zod asks for and that is missing here stops the build.
 */
function leaveOutJsonSchema(): Plugin {
  const never = "() => { throw new Error('the phone page describes no schema'); }";
  return {
    name: 'leave-out-json-schema',
    apply: 'build',
    load: (id) =>
      /zod[\\/]v4[\\/]core[\\/]to-json-schema\.js$/.test(id)
        ? JSON_SCHEMA_PARTS.map((part) => `export const ${part} = ${never};`).join('\n')
        : null,
  };
}

export default defineConfig({
  root: folder,
  base: '/scan/',
  plugins: [react(), leaveOutJsonSchema(), keepBuiltFiles()],
  worker: { format: 'es' },
  build: {
    outDir: 'dist',
    emptyOutDir: true,
    assetsInlineLimit: 0,
    target: 'es2022',
    reportCompressedSize: false,
  },
});
