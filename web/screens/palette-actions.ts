// What can be done from anywhere by typing it. A screen that has something to offer adds a line here, or to the actions
// of a count; what they do is an address, or a deed of the page itself.
import { backUpNow } from '../data/backup.ts';
import { chooseTheme } from '../look/theme.ts';

/** What an action is given to work with. */
export interface PaletteHands {
  readonly goTo: (path: string) => void;
  readonly showKeys: () => void;
}
export interface PaletteAction {
  /** Stays the same for ever: what was used last is remembered by it. */
  readonly id: string;
  readonly name: string;
  /** Other words by which people may look for it. */
  readonly also?: string;
  readonly run: (hands: PaletteHands) => void;
}

export const PALETTE_ACTIONS: readonly PaletteAction[] = [
  {
    id: 'back-up',
    name: 'Back up now',
    also: 'save copy',
    // The screen says how far it is, or why it could not begin.
    run: ({ goTo }) => void backUpNow().then(() => goTo('/backup')),
  },
  {
    id: 'new-job',
    name: 'Jobs, to make a new one',
    also: 'new job add booking',
    run: ({ goTo }) => goTo('/jobs'),
  },
  { id: 'make-tags', name: 'Make tags', also: 'labels codes print', run: ({ goTo }) => goTo('/tags') },
  {
    id: 'find-faulty',
    name: 'Find what is faulty',
    also: 'broken',
    run: ({ goTo }) => goTo('/find?matter=faulty'),
  },
  {
    id: 'find-not-found',
    name: 'Find what is not found yet',
    also: 'missing lost',
    run: ({ goTo }) => goTo('/find?matter=not-found'),
  },
  {
    id: 'phone-page',
    name: 'Open the phone page',
    also: 'scan',
    run: () => window.location.assign('/scan/'),
  },
  { id: 'theme-light', name: 'Light', also: 'theme colours', run: () => chooseTheme('light') },
  { id: 'theme-dark', name: 'Dark', also: 'theme colours night', run: () => chooseTheme('dark') },
  {
    id: 'theme-device',
    name: 'Light or dark as this device',
    also: 'theme',
    run: () => chooseTheme('as-device'),
  },
  {
    id: 'keys',
    name: 'List of keys',
    also: 'help shortcuts keyboard',
    run: ({ showKeys }) => showKeys(),
  },
];

/** What can be done with one count, offered once for each of the latest: "Print the wrap sheet of Reed bed". */
export interface CountAction {
  readonly id: string;
  /** Stands before the name of the stop. */
  readonly name: string;
  readonly pathOf: (count: { readonly stopId: string; readonly round: number }) => string;
}

export const COUNT_ACTIONS: readonly CountAction[] = [
  {
    id: 'wrap-sheet',
    name: 'Print the wrap sheet of',
    pathOf: ({ stopId, round }) => `/counts/${stopId}/${round}/sheet`,
  },
  {
    id: 'from-paper',
    name: 'Enter the ticks on paper of',
    pathOf: ({ stopId, round }) => `/counts/${stopId}/${round}/from-paper`,
  },
];
