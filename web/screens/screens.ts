// The desk's screens: where each is, the letter that opens it, and what it answers. The frame reads this table.

export interface ScreenEntry {
  readonly path: string;
  readonly name: string;
  readonly key: string;
}

export const SCREENS: readonly ScreenEntry[] = [
  { path: '/where', name: 'Where', key: 'w' },
  { path: '/counts', name: 'Counts', key: 'c' },
  { path: '/still-out', name: 'Still out there', key: 's' },
  { path: '/bring-in', name: 'Bring in a list', key: 'b' },
  { path: '/tags', name: 'Tags', key: 't' },
];
