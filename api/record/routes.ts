// All routes of the record, in the order in which the API document shows them.
import { classRoutes } from '../classes/routes.ts';
import { sheetRoutes } from '../counts/sheet-routes.ts';
import type { Route } from '../http/route.ts';
import { jobRoutes } from '../jobs/routes.ts';
import { outfitRoutes } from '../outfit/routes.ts';
import { packageRoutes } from '../packages/routes.ts';
import { partyRoutes } from '../parties/routes.ts';
import { personRoutes } from '../people/routes.ts';
import { pictureRoutes } from '../pictures/routes.ts';
import { placeRoutes } from '../places/routes.ts';
import { searchRoutes } from '../search/routes.ts';
import { stopRoutes } from '../stops/routes.ts';
import { sundriesRoutes } from '../sundries/routes.ts';
import { checkRoutes } from '../things/check-routes.ts';
import { thingEditRoutes } from '../things/edit-routes.ts';
import { mergeRoutes } from '../things/merge-routes.ts';
import { thingRoutes } from '../things/routes.ts';
import { valueRoutes } from '../things/value-routes.ts';
import { writeOffRoutes } from '../write-offs/routes.ts';

export const recordKeepingRoutes: readonly Route[] = [
  ...outfitRoutes,
  ...personRoutes,
  ...thingRoutes,
  ...thingEditRoutes,
  ...mergeRoutes,
  ...checkRoutes,
  ...valueRoutes,
  ...writeOffRoutes,
  ...classRoutes,
  ...placeRoutes,
  ...pictureRoutes,
  ...partyRoutes,
  ...packageRoutes,
  ...sundriesRoutes,
  ...jobRoutes,
  ...stopRoutes,
  ...sheetRoutes,
  ...searchRoutes,
];
