// One page of labels as SVG, to be looked at before it is printed.
import { cellOf, pageOf } from '#domain/label-format.ts';
import { pathsOf } from './label-svg.ts';
import type { LabelDrawing } from './lay-out-label.ts';
import type { SheetPrint } from './sheet-pdf.ts';

const MM_PER_INCH = 25.4;

const short = (mm: number): number => Number(mm.toFixed(3));

/** The labels that lie on this page (from 0), in millimetres of the paper. */
export function sheetSvg(drawings: readonly LabelDrawing[], print: SheetPrint, page: number): string {
  const { widthMm, heightMm } = pageOf(print.format);
  const labels = drawings.flatMap((drawing, index) => {
    const cell = cellOf(print.format, index, print.start);
    if (cell.page !== page) return [];
    const { modules, letters } = pathsOf(drawing);
    const at = `translate(${short(cell.xMm + print.shiftXMm)} ${short(cell.yMm + print.shiftYMm)}) scale(${MM_PER_INCH / drawing.dpi})`;
    const { hole } = drawing;
    const ring =
      hole === null
        ? ''
        : `<circle cx="${hole.x}" cy="${hole.y}" r="${hole.radius}" fill="none" stroke="#000"/>`;
    return [`<g transform="${at}"><path d="${modules}"/><path d="${letters}"/>${ring}</g>`];
  });
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" width="${widthMm}mm" height="${heightMm}mm" viewBox="0 0 ${widthMm} ${heightMm}">`,
    `<rect width="${widthMm}" height="${heightMm}" fill="#fff"/>`,
    ...labels,
    '</svg>',
  ].join('');
}
