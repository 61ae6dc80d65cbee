// Labels on paper as PDF, unscaled: sheets of die-cut labels or hang tags to cut, or a roll with one label to a page.
import { setImmediate } from 'node:timers/promises';
import PDFDocument from 'pdfkit';
import { cellOf, type LabelFormat, pageOf } from '#domain/label-format.ts';
import { fontBytes } from './label-font.ts';
import type { LabelDrawing } from './lay-out-label.ts';

const MM_PER_INCH = 25.4;
const POINTS_PER_INCH = 72;
const HAIRLINE_PT = 0.4;
/** So many labels are drawn before others get their turn: a few milliseconds. */
const LABELS_AT_A_TIME = 50;
export const points = (mm: number): number => (mm * POINTS_PER_INCH) / MM_PER_INCH;

export interface SheetPrint {
  readonly format: LabelFormat;
  /** The first label's place on the first sheet, from 1. */
  readonly start: number;
  /** How far this printer prints off, as the calibration page shows: to the right and down, millimetres. */
  readonly shiftXMm: number;
  readonly shiftYMm: number;
}

/** A PDF being written, with the fonts of labels. It says nothing of the machine or the hour that made it. */
export function beginPdf(title: string): PDFKit.PDFDocument {
  const document = new PDFDocument({ autoFirstPage: false, margin: 0, info: { Title: title } });
  for (const role of ['code', 'text', 'strong'] as const) document.registerFont(role, fontBytes(role));
  return document;
}

export async function pdfBytes(document: PDFKit.PDFDocument): Promise<Buffer> {
  const chunks: Buffer[] = [];
  document.on('data', (chunk: Buffer) => chunks.push(chunk));
  const ended = new Promise<void>((resolve, reject) => {
    document.on('end', resolve);
    document.on('error', reject);
  });
  document.end();
  await ended;
  return Buffer.concat(chunks);
}

function drawDark(document: PDFKit.PDFDocument, drawing: LabelDrawing): void {
  // One path for the whole symbol, so that no seam shows between boxes that touch.
  for (const { x, y, width, height } of drawing.dark) document.rect(x, y, width, height);
  document.fill('#000');
}

function drawCutMarks(document: PDFKit.PDFDocument, drawing: LabelDrawing): void {
  const { hole, width, height } = drawing;
  if (hole === null) return;
  document.lineWidth((HAIRLINE_PT * drawing.dpi) / POINTS_PER_INCH).strokeColor('#000');
  document.circle(hole.x, hole.y, hole.radius).stroke();
  document.rect(0, 0, width, height).stroke();
}

function drawLabel(document: PDFKit.PDFDocument, drawing: LabelDrawing): void {
  drawDark(document, drawing);
  document.fillColor('#000');
  for (const line of drawing.lines) {
    document.font(line.role).fontSize(line.size);
    document.text(line.text, line.x, line.baseline, { lineBreak: false, baseline: 'alphabetic' });
  }
  drawCutMarks(document, drawing);
}

/** The labels in this order, each at its place; whole dots of the printer from the paper's corner. */
export async function sheetPdf(drawings: readonly LabelDrawing[], print: SheetPrint): Promise<Buffer> {
  const document = beginPdf('Labels');
  const page = pageOf(print.format);
  let pages = 0;
  for (const [index, drawing] of drawings.entries()) {
    if (index % LABELS_AT_A_TIME === LABELS_AT_A_TIME - 1) await setImmediate();
    const cell = cellOf(print.format, index, print.start);
    while (pages <= cell.page) {
      document.addPage({ size: [points(page.widthMm), points(page.heightMm)], margin: 0 });
      pages += 1;
    }
    const dots = (mm: number) => Math.round((mm * drawing.dpi) / MM_PER_INCH);
    document.save();
    document.scale(POINTS_PER_INCH / drawing.dpi);
    document.translate(dots(cell.xMm + print.shiftXMm), dots(cell.yMm + print.shiftYMm));
    drawLabel(document, drawing);
    document.restore();
  }
  return pdfBytes(document);
}
