// The few icons there are, drawn for this project: one stroke of a marker. An icon always stands beside its word,
// so it is hidden from screen readers.
const PATHS = {
  'going-in': 'M3 12h11M10 7l5 5-5 5M15 4h6v16h-6',
  'back-aboard': 'M21 12H10M14 7l-5 5 5 5M9 4H3v16h6',
  scan: 'M3 8V4h4M17 4h4v4M21 16v4h-4M7 20H3v-4M8 8v8M12 8v8M16 8v8',
  type: 'M3 6h18v12H3zM7 10h.01M11 10h.01M15 10h.01M8 14h8',
  find: 'M10.5 4a6.5 6.5 0 1 1 0 13a6.5 6.5 0 0 1 0-13M15.5 15.5L21 21',
  picture: 'M4 5h16v14H4zM4 16l5-5 4 4 3-3 4 4M15.5 9h.01',
  torch: 'M8 3h8l-1 6v12H9V9zM12 13v2',
  camera: 'M3 7h4l2-3h6l2 3h4v13H3zM12 9.5a3.5 3.5 0 1 1 0 7a3.5 3.5 0 0 1 0-7',
  case: 'M3 8h18v12H3zM9 8V4h6v4M3 13h18',
  battery: 'M4 7h13v10H4zM20 10v4M8 10v4M12 10v4',
  place: 'M12 21C7 15 5 12 5 9a7 7 0 0 1 14 0c0 3-2 6-7 12zM12 9h.01',
  undo: 'M8 4L3 9l5 5M3 9h11a6 6 0 0 1 0 12h-3',
  tick: 'M4 13l5 6L20 5',
  open: 'M12 4a8 8 0 1 1 0 16a8 8 0 0 1 0-16',
  missing: 'M12 4v10M12 19.5v.01',
  caution: 'M12 3L2 20h20zM12 10v4M12 17v.01',
  person: 'M12 4a4 4 0 1 1 0 8a4 4 0 0 1 0-8M4 21c0-9 16-9 16 0',
  offline: 'M3 9c6-5 12-5 18 0M7 14c3-2.5 7-2.5 10 0M12 19v.01M4 3l16 18',
  sound: 'M4 9h4l5-5v16l-5-5H4zM17 9c2 2 2 4 0 6',
  silent: 'M4 9h4l5-5v16l-5-5H4zM17 9l5 6M22 9l-5 6',
  count: 'M4 5v14M8 5v14M12 5v14M16 5v14M2 16L19 8',
  more: 'M5 12h.01M12 12h.01M19 12h.01',
} as const;

export type IconName = keyof typeof PATHS;

/** The names of all icons, for the specimen. */
export const ICON_NAMES: readonly IconName[] = Object.keys(PATHS).filter(
  (name): name is IconName => name in PATHS,
);

export function Icon({ name }: { readonly name: IconName }) {
  return (
    <svg className="icon" viewBox="0 0 24 24" aria-hidden="true" focusable="false">
      <path
        d={PATHS[name]}
        fill="none"
        stroke="currentColor"
        strokeWidth="2.25"
        strokeLinecap="round"
        strokeLinejoin="round"
      />
    </svg>
  );
}
