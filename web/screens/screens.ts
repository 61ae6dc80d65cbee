// The desk's screens: where each is, the letter that opens it, and the keys that it has for itself. The head, the list
// of keys and the palette are made from this table.

export interface ScreenEntry {
  readonly path: string;
  readonly name: string;
  readonly key: string;
  /** Not for every day: stands after the others, smaller. */
  readonly seldom?: true;
  /** Keys that only this screen has: as they are written on the keyboard, and what they do. */
  readonly keys?: readonly (readonly [keys: string, does: string])[];
}

export const SCREENS: readonly ScreenEntry[] = [
  {
    path: '/where',
    name: 'Where',
    key: 'w',
    keys: [
      ['↑ ↓', 'up and down the tree'],
      ['→ ←', 'open and close a branch'],
      ['Enter', 'show what is in it'],
    ],
  },
  { path: '/jobs', name: 'Jobs', key: 'j' },
  { path: '/counts', name: 'Counts', key: 'c' },
  {
    path: '/still-out',
    name: 'Still out there',
    key: 's',
    keys: [
      ['↑ ↓', 'up and down'],
      ['x', 'select it, or not'],
      ['f', 'found'],
      ['a', 'ask for it'],
      ['o', 'write it off'],
    ],
  },
  { path: '/to-look-at', name: 'To look at', key: 'm' },
  { path: '/things/new', name: 'New thing', key: 'n', seldom: true },
  { path: '/bring-in', name: 'Bring in a list', key: 'b', seldom: true },
  { path: '/labels', name: 'Labels', key: 'l', seldom: true },
  { path: '/tags', name: 'Tags', key: 't', seldom: true },
  { path: '/backup', name: 'Backup', key: 'k', seldom: true },
];

/** Find is reached by its box in the head, so it has no place among the screens there. */
export const FIND: ScreenEntry = {
  path: '/find',
  name: 'Find',
  key: '/',
  keys: [
    ['↓', 'from the search to what was found'],
    ['↑ ↓', 'up and down'],
    ['Enter', 'open it'],
    ['x', 'select it, or not'],
    ['e', 'edit what is selected'],
  ],
};
