// Folds text for the search, so that a thing is found however somebody writes it. The database keeps the folded
// text and the phone folds the same way: there is this one function, and it needs nothing but the language itself.

const SIGNS_WITHOUT_SOUND = /[™®©℠]/gu;
const ALPHABETS_WITH_ACCENTS = /([\p{Script=Latin}\p{Script=Greek}\p{Script=Cyrillic}])\p{M}+/gu;
const NEITHER_WORD_NOR_SPACE = /[^\p{L}\p{N}\p{M}\s]/gu;
// Most of what a list holds needs none of the rest; a list of ten thousand lines folds a hundred thousand cells.
const PLAIN = /^[ -~]*$/;
const SPACES = /\s+/gu;
const STROKED = /[æœøłđðþħŧŋıƒς]/gu;

// Letters that Unicode does not take apart, written as people write them on a keyboard without them.
const PLAIN_FOR_STROKED: Readonly<Record<string, string>> = {
  æ: 'ae',
  œ: 'oe',
  ø: 'o',
  ł: 'l',
  đ: 'd',
  ð: 'd',
  þ: 'th',
  ħ: 'h',
  ŧ: 't',
  ŋ: 'n',
  ı: 'i',
  ƒ: 'f',
  ς: 'σ',
};

function foldOnce(text: string): string {
  return (
    text
      .replace(SIGNS_WITHOUT_SOUND, '')
      .normalize('NFKD')
      .replace(ALPHABETS_WITH_ACCENTS, '$1')
      // By way of upper case, which alone knows that ß is SS.
      .toUpperCase()
      .toLowerCase()
      .normalize('NFKD')
      .replace(ALPHABETS_WITH_ACCENTS, '$1')
      .replace(STROKED, (letter) => PLAIN_FOR_STROKED[letter] ?? letter)
      .replace(NEITHER_WORD_NOR_SPACE, '')
      .replace(SPACES, ' ')
      .trim()
      .normalize('NFC')
  );
}

/**
 * The text as the search compares it: lower case, full-width and other compatibility forms made plain, accents
 * taken off in Latin, Greek and Cyrillic (elsewhere a mark is part of the letter and stays), letters such as ß, ø, ł
 * written plainly, punctuation dropped without a trace, every run of blanks one space.
 *
 * Punctuation is dropped and not made a blank: "A-12/3", "A123" and "a 12-3" differ in what people do with dashes,
 * and a search asks for each word as a part of the text, so "12" still finds "A-12/3". Folding twice changes nothing.
 */
export function fold(text: string): string {
  if (PLAIN.test(text))
    return text.toLowerCase().replace(NEITHER_WORD_NOR_SPACE, '').replace(SPACES, ' ').trim();
  let folded = foldOnce(text);
  // A few compatibility letters only come apart in the second round.
  for (let next = foldOnce(folded); next !== folded; next = foldOnce(folded)) folded = next;
  return folded;
}

/** Folded, and without any blank: two writings of one serial number are the same squeezed text. */
export function squeeze(text: string): string {
  return fold(text).replaceAll(' ', '');
}

/**
 * What the search looks at for one record: its texts folded, each one whose words people also write together (a
 * serial "SN 0042 7") squeezed as well. Parts are kept apart by a blank, so no match runs across two of them but by
 * a blank that was asked for. Null and empty parts are passed over.
 */
export function foldForSearch(parts: readonly (string | null)[]): string {
  const folded = parts.flatMap((part) => {
    if (part === null) return [];
    const words = fold(part);
    return words.includes(' ') && words.length <= SQUEEZED_LENGTH_MAX
      ? [words, words.replaceAll(' ', '')]
      : [words];
  });
  return [...new Set(folded)].filter((part) => part !== '').join(' ');
}

// Names and serials are written together or apart; a description is not.
const SQUEEZED_LENGTH_MAX = 60;

/** The words that a question asks for, each to be found as a part of the folded text, in any order. */
export function searchWords(question: string): readonly string[] {
  return [...new Set(fold(question).split(' '))].filter((word) => word !== '');
}
