// Where the demo outfit's gear lives and goes. All names are invented.
import type { PARTY_ROLES } from '#domain/party.ts';
import type { PlaceKind } from '#domain/place.ts';

export const VEHICLE = 'Bittern';
export const BOAT = 'Punt';

/** Name, kind, parent. Vehicles and containers are things as well; these are the places that stand still or are parts. */
export const PLACES: readonly (readonly [string, PlaceKind, string | null])[] = [
  ['Store', 'store', null],
  ['Camera well', 'compartment', VEHICLE],
  ['Left drawer', 'compartment', VEHICLE],
  ['Right drawer', 'compartment', VEHICLE],
  ['Back shelf', 'compartment', VEHICLE],
  ['Battery box', 'compartment', VEHICLE],
  ['Under the bench', 'compartment', VEHICLE],
  ['Door pockets', 'compartment', VEHICLE],
  ['Roof box', 'compartment', VEHICLE],
  ['Boat deck', 'compartment', BOAT],
  ['Bow locker', 'compartment', BOAT],
  ['Stern box', 'compartment', BOAT],
];

/** Who can have gear: name, role, contact. */
export const PARTIES: readonly (readonly [string, (typeof PARTY_ROLES)[number], string])[] = [
  ['Marshline Films', 'client', 'Ines Corvalho'],
  ['Fenland Bird Trust', 'client', 'Owe Tallis'],
  ['Quay Street Hire', 'rental-house', 'Front counter'],
  ['Runa Feldt', 'crew', 'Runa Feldt'],
  ['Bright Bench Repairs', 'repairer', 'Pia Solberg-Nunn'],
];

/** A stop of a past job by days before today's working day and the hour in it; one of today by its share of the day. */
export type DemoStop = {
  readonly name: string;
  readonly kind: 'location' | 'hotel';
  readonly when: { readonly daysAgo: number; readonly hour: number } | { readonly share: number };
};
export type DemoJob = {
  readonly name: string;
  readonly client: string;
  readonly stops: readonly DemoStop[];
};

const stop = (name: string, kind: DemoStop['kind'], daysAgo: number, hour: number): DemoStop => ({
  name,
  kind,
  when: { daysAgo, hour },
});

export const JOBS: readonly DemoJob[] = [
  {
    name: 'Cranes over Ostermoor',
    client: 'Fenland Bird Trust',
    stops: [
      stop('Ostermoor north hide', 'location', 171, 6),
      stop('Ostermoor jetty', 'location', 171, 12),
      stop('Heron Inn', 'hotel', 170, 2),
      stop('Ostermoor reed bed', 'location', 170, 5),
    ],
  },
  {
    name: 'The eel weir',
    client: 'Marshline Films',
    stops: [
      stop('Weir at Lowmere', 'location', 83, 3),
      stop('Lowmere smokehouse', 'location', 83, 11),
      stop('Weir at Lowmere, second day', 'location', 82, 3),
    ],
  },
  {
    name: 'Night herons',
    client: 'Marshline Films',
    stops: [
      stop('Alder carr', 'location', 1, 10),
      { name: 'Ferry House', kind: 'hotel', when: { share: 0.1 } },
      { name: 'Village hall interview', kind: 'location', when: { share: 0.3 } },
      { name: 'Sluice at dusk', kind: 'location', when: { share: 0.6 } },
    ],
  },
];

/** Estimated lumps of value for what nobody lists piece by piece: where, what, euros. */
export const SUNDRIES: readonly (readonly [string, string, number])[] = [
  ['Left drawer', 'Screws, adapters, small hardware', 350],
  ['Door pockets', 'Odds and ends, field guides', 120],
  ['Stern box', 'Boat tools and rope ends', 180],
];
