// The capabilities' routes, in the order in which the API document shows them.
import { backupRoutes } from './backup/routes.ts';
import { catalogueRoutes } from './catalogue/routes.ts';
import { codeRoutes } from './codes/routes.ts';
import { countRoutes } from './counts/routes.ts';
import { demoRoutes } from './demo/routes.ts';
import { feedRoutes } from './feed/routes.ts';
import type { Route } from './http/route.ts';
import { importRoutes } from './imports/routes.ts';
import { labelRoutes } from './labels/routes.ts';
import { matterRoutes } from './matters/routes.ts';
import { movementRoutes } from './movements/routes.ts';
import { recordKeepingRoutes } from './record/routes.ts';
import { stillOutRoutes } from './still-out/routes.ts';

export const routes: readonly Route[] = [
  ...catalogueRoutes,
  ...feedRoutes,
  ...movementRoutes,
  ...countRoutes,
  ...stillOutRoutes,
  ...matterRoutes,
  ...recordKeepingRoutes,
  ...demoRoutes,
  ...backupRoutes,
  ...codeRoutes,
  ...labelRoutes,
  ...importRoutes,
];
