import { fileURLToPath } from 'node:url';
import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    root: fileURLToPath(new URL('..', import.meta.url)),
    include: ['tests/**/*.test.ts'],
    globalSetup: [fileURLToPath(new URL('./global-setup.ts', import.meta.url))],
    testTimeout: 60_000,
    hookTimeout: 180_000,
    // Two cores: more workers only make real-time tests flaky.
    maxWorkers: 2,
  },
});
