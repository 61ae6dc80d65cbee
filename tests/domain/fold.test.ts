// Folding of text for the search.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { fold, foldForSearch, searchWords, squeeze } from '#domain/fold.ts';

describe('folding', () => {
  it.each([
    ['case and blanks', '  Heron   Lens ', 'heron lens'],
    ['accents', 'Élan Câble Übergröße', 'elan cable ubergrosse'],
    ['letters with a stroke', 'Tøndel Łódka ÆSIR œuvre Þór ĦAŻ', 'tondel lodka aesir oeuvre thor haz'],
    ['full width and ligatures', 'ＴＣ－７Ｋ ﬁlter ㎜', 'tc7k filter mm'],
    ['Greek with accent and final sigma', 'ΟΔΟΣ Φακός', 'οδοσ φακοσ'],
    ['Cyrillic й and ё', 'Объектив Ёлка', 'объектив елка'],
    ['Turkish I with and without dot', 'İSTANBUL ılık', 'istanbul ilik'],
    ['kana keep their marks, half width joins', 'ｶﾞﾗｽ ガラス', 'ガラス ガラス'],
    ['Hangul stays whole', '한글', '한글'],
    ['Devanagari keeps its vowels', 'कैमरा', 'कैमरा'],
    ['punctuation goes without a trace', 'A-12/3', 'a123'],
    ['signs that nobody types', 'Marsh™ Light®', 'marsh light'],
    ['only punctuation', '—…!', ''],
  ])('%s', (_what, text, folded) => {
    expect(fold(text)).toBe(folded);
  });

  it('finds a serial written with a dash, together or apart by the same words', () => {
    const kept = foldForSearch(['Reed 50 lens', null, 'SN 0042-7']);
    for (const question of ['0042-7', '00427', 'sn00427', 'SN 0042', 'reed50', 'LENS reed', '42']) {
      expect(
        searchWords(question).every((word) => kept.includes(word)),
        question,
      ).toBe(true);
    }
    expect(searchWords('reed 51').every((word) => kept.includes(word))).toBe(false);
  });

  it('asks nothing of a question without a letter or digit', () => {
    expect(searchWords(' -/- ')).toEqual([]);
  });

  it('folding twice is folding once, whatever the text', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 30 }), (text) => {
        expect(fold(fold(text))).toBe(fold(text));
        expect(fold(text)).not.toMatch(/^\s|\s$|\s\s/);
      }),
      { numRuns: 3_000 },
    );
  });

  it('dashes and blanks never separate two writings of one serial', () => {
    const separator = fc.constantFrom('', '-', '/', ' ', '.', '_', ' - ');
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.stringMatching(/^[A-Z0-9]{1,4}$/), separator), { minLength: 1 }),
        (pieces) => {
          const apart = pieces.map(([piece, between]) => `${piece}${between}`).join('');
          expect(squeeze(apart)).toBe(pieces.map(([piece]) => piece.toLowerCase()).join(''));
        },
      ),
    );
  });

  it('case and composition never separate two writings of one text', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'grapheme', maxLength: 20 }), (text) => {
        expect(fold(text.normalize('NFD'))).toBe(fold(text.normalize('NFC')));
        // Polytonic Greek writes its iota below or beside, by case; nobody labels a case with it.
        fc.pre(!text.normalize('NFD').includes('\u0345'));
        expect(fold(text.toUpperCase().toLowerCase())).toBe(fold(text));
      }),
      { numRuns: 2_000 },
    );
  });
});
