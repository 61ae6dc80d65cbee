// What stands at the head of every printed page: the outfit, the job, the stop, the date. Browsers that know margin boxes of
// pages (CSS Paged Media) repeat it; the others print it once, at the top (`.only-on-paper`).
import { useEffect } from 'react';

// Every other character is written by its number, so that no name can end the text it stands in.
const asCssText = (text: string): string =>
  `"${[...text].map((sign) => (/[A-Za-z0-9 ]/.test(sign) ? sign : `\\${sign.codePointAt(0)?.toString(16)} `)).join('')}"`;

/** Puts these words on every page that is printed while the screen is open. */
export function usePaperHead(left: string, right: string): void {
  useEffect(() => {
    const sheet = new CSSStyleSheet();
    const box = (words: string) => `{ content: ${asCssText(words)}; font: 9pt sans-serif; }`;
    sheet.replaceSync(`@page { @top-left ${box(left)} @top-right ${box(right)} }`);
    document.adoptedStyleSheets = [...document.adoptedStyleSheets, sheet];
    return () => {
      document.adoptedStyleSheets = document.adoptedStyleSheets.filter((known) => known !== sheet);
    };
  }, [left, right]);
}
