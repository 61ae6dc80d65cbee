// The page that shows whether a printer prints at true size and where it puts the paper: rulers, the outlines of the labels
// to hold against a sheet, and a cross of known distance from the edges.
import { cellOf, type LabelFormat, labelsPerPage, pageOf } from '#domain/label-format.ts';
import { beginPdf, pdfBytes, points } from './sheet-pdf.ts';

const CROSS_MM = 20;
const ARM_MM = 4;
const LINE_PT = 0.4;
const OUTLINE_PT = 0.25;
const SIZE_PT = 9;

interface Shift {
  readonly xMm: number;
  readonly yMm: number;
}

type Pdf = PDFKit.PDFDocument;

function line(pdf: Pdf, x1: number, y1: number, x2: number, y2: number): void {
  pdf.moveTo(points(x1), points(y1)).lineTo(points(x2), points(y2)).stroke();
}

function write(pdf: Pdf, text: string, x: number, y: number, size = SIZE_PT): void {
  pdf.font('text').fontSize(size).fillColor('#000').text(text, points(x), points(y), { lineBreak: false });
}

/** Millimetres along x, every tenth longer and with its number. */
function drawRuler(pdf: Pdf, at: { readonly x: number; readonly y: number; readonly mm: number }): void {
  pdf.lineWidth(LINE_PT);
  line(pdf, at.x, at.y, at.x + at.mm, at.y);
  for (let mm = 0; mm <= at.mm; mm += 1) {
    const long = mm % 10 === 0 ? 4 : mm % 5 === 0 ? 3 : 2;
    line(pdf, at.x + mm, at.y, at.x + mm, at.y - long);
    if (mm % 10 === 0) write(pdf, String(mm), at.x + mm - 1.2, at.y + 0.8, 7);
  }
}

function drawUpright(pdf: Pdf, at: { readonly x: number; readonly y: number; readonly mm: number }): void {
  pdf.lineWidth(LINE_PT);
  line(pdf, at.x, at.y, at.x, at.y + at.mm);
  for (let mm = 0; mm <= at.mm; mm += 1) {
    const long = mm % 10 === 0 ? 4 : mm % 5 === 0 ? 3 : 2;
    line(pdf, at.x, at.y + mm, at.x + long, at.y + mm);
    if (mm % 10 === 0) write(pdf, String(mm), at.x - 5, at.y + mm - 1.2, 7);
  }
}

function drawOutlines(pdf: Pdf, format: LabelFormat, shift: Shift): void {
  pdf.lineWidth(OUTLINE_PT).strokeColor('#000');
  for (let place = 0; place < labelsPerPage(format); place += 1) {
    const { xMm, yMm } = cellOf(format, place, 1);
    const [x, y] = [points(xMm + shift.xMm), points(yMm + shift.yMm)];
    pdf.rect(x, y, points(format.widthMm), points(format.heightMm)).stroke();
  }
}

/** On white, so that outlines behind do not run through the words. */
function drawExplained(pdf: Pdf, page: { readonly widthMm: number; readonly heightMm: number }): void {
  const [x, y, width, height] = [page.widthMm / 2 - 65, page.heightMm / 2 - 70, 138, 140];
  pdf.rect(points(x - 14), points(y - 8), points(width + 14), points(height)).fill('#fff');
  const lines = [
    'Print this page at 100 %, on plain paper.',
    '',
    '1.  Hold a ruler to both scales. If 120 mm are not 120 mm, switch off “fit to page” and print again.',
    `2.  Measure the cross in the upper left corner. It should stand ${CROSS_MM} mm from the left edge and`,
    `     ${CROSS_MM} mm from the top edge. 18.5 mm from the left: write 1.5 under “to the right”, and so on.`,
    '3.  Hold this page and a sheet of labels against a lamp: the lines should lie on the cuts.',
  ];
  lines.forEach((text, at) => {
    write(pdf, text, x - 8, y + at * 5.2);
  });
  drawRuler(pdf, { x: x + 6, y: y + 44, mm: 120 });
  drawUpright(pdf, { x: x + 6, y: y + 56, mm: 70 });
}

function drawCross(pdf: Pdf, shift: Shift): void {
  const [x, y] = [CROSS_MM + shift.xMm, CROSS_MM + shift.yMm];
  pdf.lineWidth(LINE_PT);
  pdf.circle(points(x), points(y), points(ARM_MM + 1)).fill('#fff');
  line(pdf, x - ARM_MM, y, x + ARM_MM, y);
  line(pdf, x, y - ARM_MM, x, y + ARM_MM);
}

/** A label of a roll is too small for words: a frame 1 mm inside its edges, and a scale. */
function drawRollLabel(pdf: Pdf, format: LabelFormat, shift: Shift): void {
  const { widthMm, heightMm } = format;
  pdf.lineWidth(LINE_PT).strokeColor('#000');
  pdf.rect(points(1 + shift.xMm), points(1 + shift.yMm), points(widthMm - 2), points(heightMm - 2));
  pdf.stroke();
  const mm = Math.floor((widthMm - 8) / 10) * 10;
  drawRuler(pdf, { x: 4 + shift.xMm, y: Math.min(heightMm - 3.2, 6.5) + shift.yMm, mm });
}

/** One page of the format's paper, or one label of a roll. The shift is the one that the person found so far. */
export async function calibrationPdf(format: LabelFormat, shift: Shift): Promise<Buffer> {
  const page = pageOf(format);
  const pdf = beginPdf('True size');
  pdf.addPage({ size: [points(page.widthMm), points(page.heightMm)], margin: 0 });
  if (format.kind === 'roll') drawRollLabel(pdf, format, shift);
  else {
    drawOutlines(pdf, format, shift);
    drawExplained(pdf, page);
    drawCross(pdf, shift);
  }
  return pdfBytes(pdf);
}
