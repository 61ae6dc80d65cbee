// The labels there are: that they lie on their paper, and where the n-th is.
import { describe, expect, it } from 'vitest';
import { cellOf, findFormat, LABEL_FORMATS, labelsPerPage, pageOf, roomOf } from '#domain/label-format.ts';
import { labelChoicesSchema, labelContactSchema, planPrint } from '#domain/label-print.ts';

function formatOf(id: string) {
  const format = findFormat(id);
  if (format === null) throw new Error(`there is no format ${id}`);
  return format;
}

describe.each(LABEL_FORMATS.map((format) => [format.name, format] as const))('%s', (_name, format) => {
  it('lies on its paper, no label over another', () => {
    const page = pageOf(format);
    const cells = Array.from({ length: labelsPerPage(format) }, (_, at) => cellOf(format, at, 1));
    for (const { xMm, yMm } of cells) {
      expect(xMm).toBeGreaterThanOrEqual(-1e-9);
      expect(yMm).toBeGreaterThanOrEqual(-1e-9);
      expect(xMm + format.widthMm).toBeLessThanOrEqual(page.widthMm + 1e-9);
      expect(yMm + format.heightMm).toBeLessThanOrEqual(page.heightMm + 1e-9);
    }
    if (format.kind === 'sheet') {
      expect(format.pitchXMm).toBeGreaterThanOrEqual(format.widthMm);
      expect(format.pitchYMm).toBeGreaterThanOrEqual(format.heightMm);
    }
  });

  it('reads at 25 cm with the symbol it gets by itself', () => {
    for (const dpi of [203, 300, 600] as const) {
      const planned = planPrint({ format: format.id, symbol: null, dpi, start: 1 });
      expect('refusal' in planned ? planned.refusal : planned.plan.readsToMm).toBeGreaterThanOrEqual(250);
    }
  });

  it('says how many there are on a sheet and how large', () => {
    const number = labelsPerPage(format);
    expect(format.name).toContain(number === 1 ? `${format.widthMm} mm` : String(number));
  });
});

describe('the place of a label', () => {
  it('goes along the rows, and on the next sheet after the last', () => {
    const format = formatOf('a4-21');
    // 63.5 mm wide, 66 mm apart, three in a row: 7.25 mm are left at each side.
    expect(cellOf(format, 0, 1)).toEqual({ page: 0, xMm: 7.25, yMm: 15.15 });
    expect(cellOf(format, 1, 1).xMm).toBeCloseTo(73.25);
    expect(cellOf(format, 3, 1).yMm).toBeCloseTo(53.25);
    expect(cellOf(format, 21, 1)).toEqual({ page: 1, xMm: 7.25, yMm: 15.15 });
  });

  it('begins where the sheet was used up to', () => {
    const format = formatOf('letter-30');
    expect(cellOf(format, 0, 30)).toEqual(cellOf(format, 29, 1));
    expect(cellOf(format, 1, 30)).toMatchObject({ page: 1 });
  });

  it('on a roll is a page of its own', () => {
    expect(cellOf(formatOf('roll-12'), 4, 1)).toEqual({ page: 4, xMm: 0, yMm: 0 });
  });
});

describe('what a person may choose', () => {
  it('a place past the last of the sheet is refused with how many there are', () => {
    expect(planPrint({ format: 'a4-8', symbol: null, dpi: 300, start: 9 })).toEqual({
      refusal: { kind: 'no-such-place', places: 8 },
    });
  });

  it('a symbol without room is refused before the place is looked at', () => {
    expect(planPrint({ format: 'a4-189', symbol: 'code-128', dpi: 300, start: 900 })).toEqual({
      refusal: { kind: 'does-not-fit' },
    });
  });

  it.each(['+351 912 000 111', '0912/000-111', '(0)912 000'])('%s can be rung', (text) => {
    expect(labelContactSchema.safeParse(text).success).toBe(true);
  });

  it.each(['Marsh Films', '+351 camera', '', '+', '12', '0912 000 111\n<b>'])(
    '“%s” is no contact',
    (text) => {
      expect(labelContactSchema.safeParse(text).success).toBe(false);
    },
  );

  it('takes what is usual where nothing is said', () => {
    expect(labelChoicesSchema.parse({ format: 'roll-24' })).toEqual({
      format: 'roll-24',
      symbol: null,
      dpi: 300,
      start: 1,
      shiftXMm: 0,
      shiftYMm: 0,
      names: true,
      contact: null,
    });
  });

  it('leaves a strip of a hang tag to its hole', () => {
    expect(roomOf(formatOf('a4-hang'))).toEqual({ widthMm: 78, heightMm: 47, leftMm: 13, topMm: 4 });
  });
});
