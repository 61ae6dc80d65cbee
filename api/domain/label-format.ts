// The labels there are to print on: die-cut sheets, rolls and hang tags, as data. Each is described by what a ruler says.
import type { LabelRoom } from './label-symbol.ts';

const MM_PER_INCH = 25.4;

export const PAPERS = {
  a4: { widthMm: 210, heightMm: 297 },
  letter: { widthMm: 215.9, heightMm: 279.4 },
} as const;
export type Paper = keyof typeof PAPERS;

interface LabelStock {
  readonly id: string;
  readonly name: string;
  readonly widthMm: number;
  readonly heightMm: number;
  /** Left free at every edge: knives and printers are not exact. */
  readonly marginMm: number;
}

export interface SheetFormat extends LabelStock {
  readonly kind: 'sheet';
  readonly paper: Paper;
  readonly columns: number;
  readonly rows: number;
  /** From the paper's edge to the first label, and from one label to the next. */
  readonly leftMm: number;
  readonly topMm: number;
  readonly pitchXMm: number;
  readonly pitchYMm: number;
  /** Tags on plain card, to be cut apart and tied on through a hole of this width. */
  readonly holeMm: number | null;
}

export interface RollFormat extends LabelStock {
  readonly kind: 'roll';
}

export type LabelFormat = SheetFormat | RollFormat;

type Grid = {
  readonly id: string;
  readonly paper: Paper;
  readonly name: string;
  readonly grid: readonly [columns: number, rows: number];
  readonly label: readonly [widthMm: number, heightMm: number];
  readonly pitch: readonly [xMm: number, yMm: number];
  readonly top: number;
  readonly marginMm: number;
  readonly holeMm?: number;
};

/** Die-cut sheets are alike on both sides: what the labels leave of the width is halved. */
function sheetOf({ id, paper, name, grid, label, pitch, top, marginMm, holeMm = 0 }: Grid): SheetFormat {
  const [columns, rows] = grid;
  const [widthMm, heightMm] = label;
  const [pitchXMm, pitchYMm] = pitch;
  const leftMm = (PAPERS[paper].widthMm - (columns - 1) * pitchXMm - widthMm) / 2;
  const cells = { columns, rows, leftMm, topMm: top, pitchXMm, pitchYMm };
  return {
    kind: 'sheet',
    id,
    name,
    paper,
    widthMm,
    heightMm,
    marginMm,
    ...cells,
    holeMm: holeMm === 0 ? null : holeMm,
  };
}

const inch = (number: number): number => number * MM_PER_INCH;

/** Common die-cut sizes. Source: common practice, from memory; the calibration page shows whether a sheet is one of them. */
const SHEETS: readonly SheetFormat[] = [
  {
    id: 'a4-189',
    grid: [7, 27] as const,
    label: [25.4, 10] as const,
    pitch: [27.9, 10] as const,
    top: 13.5,
    marginMm: 0.8,
  },
  {
    id: 'a4-65',
    grid: [5, 13] as const,
    label: [38.1, 21.2] as const,
    pitch: [40.6, 21.2] as const,
    top: 10.7,
    marginMm: 1.5,
  },
  {
    id: 'a4-40',
    grid: [4, 10] as const,
    label: [48.5, 25.4] as const,
    pitch: [48.5, 25.4] as const,
    top: 21.5,
    marginMm: 1.5,
  },
  {
    id: 'a4-24',
    grid: [3, 8] as const,
    label: [63.5, 33.9] as const,
    pitch: [66, 33.9] as const,
    top: 12.9,
    marginMm: 1.5,
  },
  {
    id: 'a4-21',
    grid: [3, 7] as const,
    label: [63.5, 38.1] as const,
    pitch: [66, 38.1] as const,
    top: 15.15,
    marginMm: 1.5,
  },
  {
    id: 'a4-8',
    grid: [2, 4] as const,
    label: [99.1, 67.7] as const,
    pitch: [101.6, 67.7] as const,
    top: 13.1,
    marginMm: 3,
  },
].map(({ grid, label, ...rest }) => {
  const name = `A4, ${grid[0] * grid[1]} on a sheet, ${label[0]} × ${label[1]} mm`;
  return sheetOf({ ...rest, grid, label, paper: 'a4', name });
});

const LETTER_SHEETS: readonly SheetFormat[] = [
  {
    id: 'letter-80',
    grid: [4, 20] as const,
    label: [1.75, 0.5] as const,
    says: '1¾ × ½',
    pitchX: 2.0625,
    marginMm: 0.8,
  },
  {
    id: 'letter-30',
    grid: [3, 10] as const,
    label: [2.625, 1] as const,
    says: '2⅝ × 1',
    pitchX: 2.75,
    marginMm: 1.5,
  },
  {
    id: 'letter-10',
    grid: [2, 5] as const,
    label: [4, 2] as const,
    says: '4 × 2',
    pitchX: 4.1875,
    marginMm: 2,
  },
  {
    id: 'letter-6',
    grid: [2, 3] as const,
    label: [4, 10 / 3] as const,
    says: '4 × 3⅓',
    pitchX: 4.1875,
    marginMm: 3,
  },
].map(({ id, grid, label, says, pitchX, marginMm }) => {
  const [width, height] = label;
  return sheetOf({
    id,
    paper: 'letter',
    name: `Letter, ${grid[0] * grid[1]} on a sheet, ${says} in`,
    grid,
    label: [inch(width), inch(height)],
    pitch: [inch(pitchX), inch(height)],
    top: inch(0.5),
    marginMm,
  });
});

const HANG_TAGS: readonly SheetFormat[] = [
  sheetOf({
    id: 'a4-hang',
    paper: 'a4',
    name: 'Hang tags on A4 card, 10 to cut, 95 × 55 mm',
    grid: [2, 5],
    label: [95, 55],
    pitch: [95, 55],
    top: 11,
    marginMm: 4,
    holeMm: 5,
  }),
  sheetOf({
    id: 'letter-hang',
    paper: 'letter',
    name: 'Hang tags on Letter card, 8 to cut, 3¾ × 2½ in',
    grid: [2, 4],
    label: [inch(3.75), inch(2.5)],
    pitch: [inch(3.75), inch(2.5)],
    top: inch(0.5),
    marginMm: 4,
    holeMm: 5,
  }),
];

/** Rolls by their width across, which is the label's height when its text runs along the roll. */
const ROLLS: readonly RollFormat[] = (
  [
    [9, 40],
    [12, 40],
    [18, 45],
    [24, 50],
    [29, 62],
    [38, 64],
    [50, 80],
    [62, 90],
    [102, 150],
  ] as const
).map(([across, along]) => ({
  kind: 'roll',
  id: `roll-${across}`,
  name: `Roll ${across} mm wide, labels ${along} mm long`,
  widthMm: along,
  heightMm: across,
  marginMm: across < 18 ? 1 : 1.5,
}));

export const LABEL_FORMATS: readonly LabelFormat[] = [...SHEETS, ...LETTER_SHEETS, ...ROLLS, ...HANG_TAGS];

/** The format of this id; null where there is none. */
export function findFormat(id: string): LabelFormat | null {
  return LABEL_FORMATS.find((format) => format.id === id) ?? null;
}

/** What is left for symbol and text. A hang tag's hole takes a strip of the left side. */
export function roomOf(format: LabelFormat): LabelRoom & { readonly leftMm: number; readonly topMm: number } {
  const { widthMm, heightMm, marginMm } = format;
  const hole = format.kind === 'sheet' && format.holeMm !== null ? format.holeMm + marginMm : 0;
  return {
    widthMm: widthMm - 2 * marginMm - hole,
    heightMm: heightMm - 2 * marginMm,
    leftMm: marginMm + hole,
    topMm: marginMm,
  };
}

/** How many labels a page of this format holds: a roll's page is one label. */
export function labelsPerPage(format: LabelFormat): number {
  return format.kind === 'roll' ? 1 : format.columns * format.rows;
}

export interface Cell {
  readonly page: number;
  readonly xMm: number;
  readonly yMm: number;
}

/**
 * Where the label number `index` (from 0) lies when the first one printed takes the place `start` (from 1) of the first
 * sheet: along the rows, as they are read. Millimetres from the paper's upper left corner; pages from 0. A roll has no
 * places to begin at.
 */
export function cellOf(format: LabelFormat, index: number, start: number): Cell {
  if (format.kind === 'roll') return { page: index, xMm: 0, yMm: 0 };
  const place = index + start - 1;
  const onPage = place % labelsPerPage(format);
  const xMm = format.leftMm + (onPage % format.columns) * format.pitchXMm;
  const yMm = format.topMm + Math.floor(onPage / format.columns) * format.pitchYMm;
  return { page: Math.floor(place / labelsPerPage(format)), xMm, yMm };
}

/** The page that is printed on, millimetres. */
export function pageOf(format: LabelFormat): LabelRoom {
  return format.kind === 'roll'
    ? { widthMm: format.widthMm, heightMm: format.heightMm }
    : PAPERS[format.paper];
}
