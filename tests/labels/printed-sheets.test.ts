// Every label of every format is read back from the printed page's pixels, by a rasteriser (PDFium) and a decoder (zxing-cpp)
// that are not ours, as a printer of 300 and of 203 dots an inch puts it on paper.
import { beforeAll, describe, expect, it } from 'vitest';
import { cellOf, LABEL_FORMATS, type LabelFormat, labelsPerPage, roomOf } from '#domain/label-format.ts';
import { LABEL_SYMBOLS, type LabelSymbol, type PrinterDpi, planLabel } from '#domain/label-symbol.ts';
import { sheetPdf } from '../../api/labels/sheet-pdf.ts';
import { cutOut, FORMAT_OF, makeLabels, prepareDecoder, read, renderPages, tagOf } from './reading.ts';

const DPIS: readonly PrinterDpi[] = [300, 203];
const WORDS = { name: 'Reed-bed lamp, the small one', contact: '+351 912 000 111' };

beforeAll(prepareDecoder);

/** What is read of each label, in the order of the sheet. */
async function readBack(
  format: LabelFormat,
  symbol: LabelSymbol | undefined,
  print: { readonly drawnFor: PrinterDpi; readonly printedAt: number; readonly number: number },
): Promise<readonly (readonly string[])[]> {
  const choices = { format: format.id, dpi: print.drawnFor, ...(symbol === undefined ? {} : { symbol }) };
  const { drawings, planned } = makeLabels(choices, print.number, WORDS);
  const pdf = await sheetPdf(drawings, { format, start: 1, shiftXMm: 0, shiftYMm: 0 });
  const pages = await renderPages(pdf, print.printedAt);
  const found: (readonly string[])[] = [];
  for (let at = 0; at < drawings.length; at += 1) {
    const { page, xMm, yMm } = cellOf(format, at, 1);
    const whole = pages[page];
    if (whole === undefined) throw new Error(`the PDF has a page ${page + 1}`);
    const box = { xMm, yMm, widthMm: format.widthMm, heightMm: format.heightMm };
    found.push(await read(cutOut(whole, box, print.printedAt), FORMAT_OF[planned.plan.symbol]));
  }
  return found;
}

const expected = (number: number) => Array.from({ length: number }, (_, at) => [tagOf(at)]);

describe.each(LABEL_FORMATS.map((format) => [format.name, format] as const))('%s', (_name, format) => {
  it.each(DPIS)(
    'reads back whole, drawn for and printed at %i dots an inch',
    async (dpi) => {
      const number = format.kind === 'roll' ? 2 : labelsPerPage(format);
      const found = await readBack(format, undefined, { drawnFor: dpi, printedAt: dpi, number });
      expect(found).toEqual(expected(number));
    },
    60_000,
  );

  it('reads back when it is drawn for 300 dots an inch and the printer has 203', async () => {
    const number = format.kind === 'roll' ? 1 : Math.min(12, labelsPerPage(format));
    const found = await readBack(format, undefined, { drawnFor: 300, printedAt: 203, number });
    expect(found).toEqual(expected(number));
  }, 60_000);
});

/** The format on which this symbol comes out finest: where it is hardest to read. */
function finest(symbol: LabelSymbol, dpi: PrinterDpi): LabelFormat {
  const planned = LABEL_FORMATS.flatMap((format) => {
    const found = planLabel(roomOf(format), symbol, dpi);
    return found === null ? [] : [{ format, dots: found.plan.dots }];
  });
  const [first] = planned.sort((a, b) => a.dots - b.dots);
  if (first === undefined) throw new Error(`${symbol} goes on some format`);
  return first.format;
}

describe('a symbol that was asked for', () => {
  const wished = DPIS.flatMap((dpi) => LABEL_SYMBOLS.map((symbol) => [symbol, dpi] as const));

  it.each(wished)('%s reads back where it is finest, at %i dots an inch', async (symbol, dpi) => {
    const print = { drawnFor: dpi, printedAt: dpi, number: 2 };
    expect(await readBack(finest(symbol, dpi), symbol, print)).toEqual(expected(2));
  });
});
