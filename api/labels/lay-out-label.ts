// Lays out one label in whole printer dots: the symbol, the code in clear text, then the name, then the contact, as far as
// there is room. The same layout becomes SVG, PNG and PDF.
import { type LabelFormat, roomOf } from '#domain/label-format.ts';
import { type PrinterDpi, SYMBOL_FACTS, type SymbolPlan } from '#domain/label-symbol.ts';
import { showTag, type TagCode } from '#domain/tag-code.ts';
import { fitLines, type TextLine } from './label-text.ts';
import { type DarkBox, darkBoxes } from './symbol-modules.ts';

const MM_PER_INCH = 25.4;
/** Between symbol and text. */
const GAP_MM = 0.8;

export interface LabelContent {
  readonly tag: TagCode;
  /** What the thing is called; null leaves it away. */
  readonly name: string | null;
  /** A telephone number, and no name that says what is in the case. */
  readonly contact: string | null;
  /** A line above all: whose it is and until when it stays, on hang tags. */
  readonly whose: string | null;
}

export interface LabelDrawing {
  readonly tag: TagCode;
  readonly dpi: PrinterDpi;
  /** Everything here is in dots. */
  readonly width: number;
  readonly height: number;
  readonly dark: readonly DarkBox[];
  readonly lines: readonly TextLine[];
  readonly hole: { readonly x: number; readonly y: number; readonly radius: number } | null;
}

interface Box {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

function scaled(box: DarkBox, dots: number, at: { readonly x: number; readonly y: number }): DarkBox {
  return {
    x: at.x + box.x * dots,
    y: at.y + box.y * dots,
    width: box.width * dots,
    height: box.height * dots,
  };
}

interface Parts {
  readonly dark: readonly DarkBox[];
  readonly text: Box;
  readonly centred: boolean;
}

/** A linear code: bars as tall as the text below them lets them be. */
function linearParts(tag: TagCode, plan: SymbolPlan, room: Box, textHeight: number): Parts {
  const { across } = SYMBOL_FACTS[plan.symbol];
  const height = room.height - textHeight;
  const x = room.x + Math.floor((room.width - across * plan.dots) / 2);
  const dark = darkBoxes(tag, plan.symbol).map((box) => ({
    ...scaled(box, plan.dots, { x, y: room.y }),
    height,
  }));
  return { dark, text: { ...room, y: room.y + height, height: textHeight }, centred: true };
}

function matrixParts(tag: TagCode, plan: SymbolPlan, room: Box, gap: number): Parts {
  const { across, down } = SYMBOL_FACTS[plan.symbol];
  const [width, height] = [(across + 2 * plan.quiet) * plan.dots, (down + 2 * plan.quiet) * plan.dots];
  const quiet = plan.quiet * plan.dots;
  const isBeside = plan.text === 'beside';
  const left = isBeside ? room.x : room.x + Math.floor((room.width - width) / 2);
  const top = isBeside ? room.y + Math.floor((room.height - height) / 2) : room.y;
  const dark = darkBoxes(tag, plan.symbol).map((box) =>
    scaled(box, plan.dots, { x: left + quiet, y: top + quiet }),
  );
  const text = isBeside
    ? { ...room, x: left + width + gap, width: room.width - width - gap }
    : { ...room, y: room.y + height, height: room.height - height };
  return { dark, text, centred: !isBeside };
}

/** What a linear code leaves to its text: enough for the code, name and contact, at most half. */
const textShare = (height: number, mm: (number: number) => number): number =>
  Math.min(Math.max(mm(4), Math.round(height * 0.35)), mm(14));

/**
 * The label of a tag on this format with this plan (`planLabel` of the format's room). Edges of modules fall on whole dots of
 * the printer. Text that has no room is shortened (a name ends with …) or left away, the contact first; the code never is.
 */
export function layOutLabel(
  content: LabelContent,
  format: LabelFormat,
  plan: SymbolPlan,
  dpi: PrinterDpi,
): LabelDrawing {
  const mm = (number: number) => Math.round((number * dpi) / MM_PER_INCH);
  const inside = roomOf(format);
  const room = {
    x: mm(inside.leftMm),
    y: mm(inside.topMm),
    width: mm(inside.widthMm),
    height: mm(inside.heightMm),
  };
  const { dark, text, centred } =
    plan.symbol === 'code-128'
      ? linearParts(content.tag, plan, room, textShare(room.height, mm))
      : matrixParts(content.tag, plan, room, mm(GAP_MM));
  const lines = fitLines({ ...content, code: showTag(content.tag) }, text, {
    dotsPerMm: dpi / MM_PER_INCH,
    centred,
  });
  const holeMm = format.kind === 'sheet' ? format.holeMm : null;
  const hole =
    holeMm === null
      ? null
      : {
          x: mm(format.marginMm + holeMm / 2),
          y: Math.round(mm(format.heightMm) / 2),
          radius: mm(holeMm / 2),
        };
  return {
    tag: content.tag,
    dpi,
    width: mm(format.widthMm),
    height: mm(format.heightMm),
    dark,
    lines,
    hole,
  };
}
