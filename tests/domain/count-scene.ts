// Where the examples of a count happen: one 4×4 with two compartments at a stop by the water, a lens and a boom aboard.
import { addItem, addPlace, addVehicle, MINUTE, makeOutfit, makeStop, utc } from './count-making.ts';

export const DAY_BEGAN = utc('2026-06-12T04:00:00Z'); // 05:00 in Lisbon
export const LOAD_IN = utc('2026-06-12T13:00:00Z');
export const OPENED = utc('2026-06-12T17:00:00Z');
export const LATER = OPENED + 5 * MINUTE;
export const NEXT_DAY = utc('2026-06-13T09:00:00Z');

/** What `gistOf` says of a line that nobody has spoken of. */
export const OPEN = {
  state: 'open',
  said: null,
  by: null,
  found: 0,
  absent: 0,
  expected: 1,
  missingSince: null,
  wentOut: false,
};
export const ABOARD = { ...OPEN, state: 'aboard', found: 1 };
export const ABSENT = { ...OPEN, state: 'absent', absent: 1 };

/** Each test makes its own. */
export function makeScene() {
  const outfit = makeOutfit();
  const truck = addVehicle(outfit, 'Heron 4×4');
  const shelf = addPlace(outfit, 'compartment', 'Shelf', { parentId: truck });
  const drawer = addPlace(outfit, 'compartment', 'Drawer', { parentId: truck });
  const hide = addPlace(outfit, 'location', 'Reedbed hide');
  const friend = addPlace(outfit, 'party', 'Ines, boat crew');
  const stop = makeStop(hide, 'Reedbed hide');
  const lens = addItem(outfit, 'Long lens', shelf);
  const boom = addItem(outfit, 'Boom', drawer);
  return { outfit, truck, shelf, drawer, hide, friend, stop, lens, boom };
}
