import { defineConfig } from 'prisma/config';

// Named by hand on every call (--config), so that no file of Prisma has to stand at the top of the project.
export default defineConfig({ schema: 'schema.prisma', migrations: { path: 'migrations' } });
