// `npm start -- --demo`: the demo outfit in an empty database, and never in somebody's own.
import type { Connections } from './database/connections.ts';
import { UnusableDatabase } from './database/migrate.ts';
import { isEmpty } from './demo/routes.ts';

/** Loads the demo outfit unless it is there. Refuses a database that holds an outfit of its own. `now` is UTC ms. */
export async function startDemo(connections: Connections, now: number): Promise<void> {
  const outfit = await connections.prisma.outfit.findUnique({ where: { id: 1 } });
  if (outfit?.demo) return;
  if (outfit) {
    throw new UnusableDatabase(
      `This data folder belongs to "${outfit.name}", and the demo would mix with it. ` +
        'Give the demo a folder of its own: DATA=data/demo PORT=8500 npm start -- --demo',
    );
  }
  if (!(await isEmpty(connections.sql))) {
    throw new UnusableDatabase(
      'There is something in this data folder already, perhaps a demo whose loading was cut short. ' +
        'Give the demo a folder of its own: DATA=data/demo PORT=8500 npm start -- --demo',
    );
  }
  const { loadDemo } = await import('../prisma/demo/load-demo.ts');
  await loadDemo(connections, now);
}
