// Makes the database client in prisma/generated from prisma/schema.prisma, after every install and with no
// download: Prisma looks for a native schema engine first, though generating needs none. Told that one stands
// where Node stands, it does not try to fetch it.
import { spawnSync } from 'node:child_process';
import { existsSync, readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

const folder = dirname(fileURLToPath(import.meta.url));

if (existsSync(join(folder, 'schema.prisma'))) {
  const manifest = createRequire(import.meta.url).resolve('prisma/package.json');
  const program = join(dirname(manifest), JSON.parse(readFileSync(manifest, 'utf8')).bin.prisma);
  const run = spawnSync(
    process.execPath,
    [program, 'generate', '--no-hints', '--config', join(folder, 'prisma.config.ts')],
    {
      cwd: dirname(folder),
      encoding: 'utf8',
      env: {
        ...process.env,
        PRISMA_SCHEMA_ENGINE_BINARY: process.execPath,
        PRISMA_HIDE_UPDATE_MESSAGE: '1',
        CHECKPOINT_DISABLE: '1',
      },
    },
  );
  if (run.status !== 0) {
    console.error(
      `The database client could not be made from prisma/schema.prisma.\n${run.stdout}${run.stderr}`,
    );
    process.exit(1);
  }
} else {
  console.log('prisma/schema.prisma is not there yet, so no database client was made.');
}
