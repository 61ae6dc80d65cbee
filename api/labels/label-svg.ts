// A label as SVG: millimetres outside, printer dots inside, letters as outlines so that no viewer's font changes it.
import { showTag } from '#domain/tag-code.ts';
import { textPath } from './label-font.ts';
import type { LabelDrawing } from './lay-out-label.ts';

const MM_PER_INCH = 25.4;

/** The dark of a label as paths: the modules, whose edges are whole dots, and the letters. */
export function pathsOf(drawing: LabelDrawing): { readonly modules: string; readonly letters: string } {
  const modules = drawing.dark
    .map(({ x, y, width, height }) => `M${x} ${y}h${width}v${height}h-${width}z`)
    .join('');
  const letters = drawing.lines.map((line) => textPath(line.text, line.role, line)).join('');
  return { modules, letters };
}

/** Print it unscaled. A text of its own, of characters that are safe in XML only. */
export function labelSvg(drawing: LabelDrawing): string {
  const { width, height, dpi, hole } = drawing;
  const mm = (dots: number) => Number(((dots * MM_PER_INCH) / dpi).toFixed(4));
  const { modules, letters } = pathsOf(drawing);
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" width="${mm(width)}mm" height="${mm(height)}mm" viewBox="0 0 ${width} ${height}">`,
    `<title>${showTag(drawing.tag)}</title>`,
    `<rect width="${width}" height="${height}" fill="#fff"/>`,
    `<path d="${modules}" fill="#000" shape-rendering="crispEdges"/>`,
    `<path d="${letters}" fill="#000"/>`,
    hole === null
      ? ''
      : `<circle cx="${hole.x}" cy="${hole.y}" r="${hole.radius}" fill="none" stroke="#000"/>`,
    '</svg>',
  ].join('');
}
