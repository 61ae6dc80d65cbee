// Tags of our own: check characters against published values, every single slip found and explained.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { checkCharactersOf, hasRightCheckCharacters } from '#domain/check-characters.ts';
import { parseScannedText, readCode } from '#domain/scanned-text.ts';
import {
  candidatesFor,
  makeTag,
  parseTag,
  parseTypedTag,
  showTag,
  TAG_ALPHABET,
  type TagCode,
} from '#domain/tag-code.ts';
import published from '../check-values/iso7064-mod1271-36.json' with { type: 'json' };

const nobody = () => false;

function tagFrom(bytes: Uint8Array): TagCode {
  const tag = makeTag(bytes);
  if (tag === null) throw new Error('these bytes give no tag');
  return tag;
}
/** Sixteen draws: the chance that none gives a tag is 1 in 10^10. */
const tags = fc
  .uint8Array({ minLength: 64, maxLength: 64 })
  .map((bytes) => makeTag(bytes))
  .filter((tag) => tag !== null);

describe('ISO/IEC 7064 MOD 1271-36', () => {
  it.each(published.valid)('$text is right ($source)', ({ text }) => {
    expect(checkCharactersOf(text.slice(0, -2))).toBe(text.slice(-2));
    expect(hasRightCheckCharacters(text)).toBe(true);
  });
  it.each(published.invalid)('$text is wrong ($source)', ({ text }) => {
    expect(hasRightCheckCharacters(text)).toBe(false);
  });
});

describe('a tag', () => {
  it('is TC, six characters and two check characters, all of the alphabet without look-alikes', () => {
    fc.assert(
      fc.property(tags, (tag) => {
        expect(tag).toMatch(/^TC[0-9A-HJKMNP-TV-Z]{8}$/);
        expect(hasRightCheckCharacters(tag)).toBe(true);
      }),
    );
  });

  it('is drawn evenly: every character comes up at every place of the payload', () => {
    const seen = Array.from({ length: 6 }, () => new Set<string>());
    for (let number = 0; number < 4_000; number += 1) {
      const bytes = new Uint8Array(4);
      // A fixed multiplier (Knuth, TAOCP vol. 2) spreads the counter over 32 bits: the same draw every run.
      new DataView(bytes.buffer).setUint32(0, Math.imul(number, 2_654_435_761) >>> 0);
      const tag = makeTag(bytes);
      if (tag !== null) for (let at = 0; at < 6; at += 1) seen[at]?.add(tag.charAt(2 + at));
    }
    expect(seen.map((characters) => characters.size)).toEqual([32, 32, 32, 32, 32, 32]);
  });

  it('is passed over where its check characters are outside the alphabet, and the next draw is taken', () => {
    const draws = Array.from({ length: 200 }, (_, number) => Uint8Array.of(0, 0, 7, number));
    const without = draws.find((bytes) => makeTag(bytes) === null);
    const withTag = draws.find((bytes) => makeTag(bytes) !== null);
    if (without === undefined || withTag === undefined) throw new Error('two hundred draws hold both kinds');
    expect(makeTag(Uint8Array.of(...without, ...withTag))).toBe(makeTag(withTag));
    expect(makeTag(new Uint8Array(0))).toBeNull();
  });

  it('is read however it is written, also by someone who takes 1 for I or L and 0 for O', () => {
    fc.assert(
      fc.property(
        tags,
        fc.constantFrom('I', 'L', 'l', 'i', '1'),
        fc.constantFrom('O', 'o', '0'),
        (tag, one, zero) => {
          const written = tag.replaceAll('1', one).replaceAll('0', zero);
          for (const text of [
            tag,
            showTag(tag),
            tag.toLowerCase(),
            ` ${written} `,
            showTag(tag).replaceAll('-', ' '),
          ]) {
            expect(parseTag(text)).toEqual({ tag });
          }
          expect(parseTypedTag(written.slice(2))).toEqual({ tag });
        },
      ),
    );
  });

  it('shows its dashes', () => {
    expect(showTag(tagFrom(Uint8Array.of(1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12)))).toMatch(
      /^TC-[0-9A-Z]{6}-[0-9A-Z]{2}$/,
    );
  });

  it('with one wrong character is never taken for another tag, and the right one is among the candidates', () => {
    fc.assert(
      fc.property(tags, fc.nat({ max: 9 }), fc.constantFrom(...TAG_ALPHABET), (tag, at, character) => {
        fc.pre(tag.charAt(at) !== character);
        const mistyped = tag.slice(0, at) + character + tag.slice(at + 1);
        expect(parseTag(mistyped)).not.toHaveProperty('tag');
        expect(candidatesFor(mistyped, nobody)).toContain(tag);
      }),
      { numRuns: 2_000 },
    );
  });

  it('with two neighbours swapped is found out, and the right one is the first candidate', () => {
    fc.assert(
      fc.property(tags, fc.nat({ max: 8 }), (tag, at) => {
        fc.pre(tag.charAt(at) !== tag.charAt(at + 1));
        const swapped = tag.slice(0, at) + tag.charAt(at + 1) + tag.charAt(at) + tag.slice(at + 2);
        expect(parseTag(swapped)).not.toHaveProperty('tag');
        expect(candidatesFor(swapped, (code) => code === tag)[0]).toBe(tag);
      }),
      { numRuns: 2_000 },
    );
  });

  it('with a character lost or one too many has the right one among the candidates', () => {
    fc.assert(
      fc.property(
        tags,
        fc.integer({ min: 2, max: 9 }),
        fc.constantFrom(...TAG_ALPHABET),
        (tag, at, character) => {
          expect(candidatesFor(tag.slice(0, at) + tag.slice(at + 1), nobody)).toContain(tag);
          expect(candidatesFor(tag.slice(0, at) + character + tag.slice(at), nobody)).toContain(tag);
        },
      ),
    );
  });

  it('lists candidates that are in use first', () => {
    fc.assert(
      fc.property(tags, fc.integer({ min: 2, max: 9 }), (tag, at) => {
        const mistyped = `${tag.slice(0, at)}${tag.charAt(at) === '7' ? '8' : '7'}${tag.slice(at + 1)}`;
        const all = candidatesFor(mistyped, nobody);
        const last = all.at(-1);
        expect(candidatesFor(mistyped, (code) => code === last)[0]).toBe(last);
        expect([...candidatesFor(mistyped, (code) => code === last)].sort()).toEqual([...all].sort());
      }),
    );
  });

  it.each([
    '',
    'TC',
    'HELLO',
    'TCTCTCTCTCTCTC',
    '4006381333931',
    'TC7K3M9Q4!',
    'https://example.org/TC7K3M9Q4X',
    'T'.repeat(500),
  ])('does not see a tag in "%s"', (text) => {
    expect(parseTag(text)).toEqual({ refusal: { kind: 'not-a-tag' } });
  });
});

describe('a scanned text', () => {
  const read = (text: string, typed = false) => {
    const scanned = parseScannedText(text);
    return scanned === null ? null : readCode(scanned, { typed });
  };

  it('is a tag, a product number or somebody else’s code', () => {
    const tag = tagFrom(Uint8Array.of(1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12));
    expect(read(`${tag}\r\n`)).toEqual({ kind: 'tag', code: tag });
    expect(read(showTag(tag).toLowerCase())).toEqual({ kind: 'tag', code: tag });
    expect(read('6291041500213')).toEqual({ kind: 'gtin', code: '06291041500213' });
    expect(read('ab/0042 x')).toEqual({ kind: 'foreign', code: 'ab/0042 x' });
    expect(read('TC000000')).toEqual({ kind: 'foreign', code: 'TC000000' });
  });

  it('of eight digits is a serial number unless somebody says product', () => {
    expect(read('73513537')).toEqual({ kind: 'foreign', code: '73513537' });
  });

  it('of eight characters is a tag only when typed by hand', () => {
    const tag = tagFrom(Uint8Array.of(9, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12));
    expect(read(tag.slice(2), true)).toEqual({ kind: 'tag', code: tag });
    expect(read(tag.slice(2), false)).toEqual({ kind: 'foreign', code: tag.slice(2) });
  });

  it.each(['', ' \u0000\u001d ', 'x'.repeat(201), 'a\ud800'])(
    'without anything that can be kept is none',
    (text) => {
      expect(parseScannedText(text)).toBeNull();
    },
  );
});
