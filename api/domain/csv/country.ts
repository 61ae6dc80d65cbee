// Countries as people write them: by code, or by name in one of several languages.
import { fold } from '../fold.ts';

const LANGUAGES = ['en', 'de', 'fr', 'es', 'it', 'pt', 'nl', 'sv', 'da', 'nb', 'pl'];
const LETTERS = [...'ABCDEFGHIJKLMNOPQRSTUVWXYZ'];
// Short names that are in no table of full names. Common usage, no source.
const SHORT_NAMES: Readonly<Record<string, string>> = {
  usa: 'US',
  uk: 'GB',
  england: 'GB',
  prc: 'CN',
  holland: 'NL',
};

/** Folded names and codes → ISO 3166-1 alpha-2, from the runtime's CLDR data. Made once per list. */
export function makeCountryTable(): ReadonlyMap<string, string> {
  const table = new Map<string, string>(Object.entries(SHORT_NAMES));
  const named = LANGUAGES.map(
    (language) => new Intl.DisplayNames([language], { type: 'region', fallback: 'none' }),
  );
  for (const code of LETTERS.flatMap((first) => LETTERS.map((second) => first + second))) {
    for (const names of named) {
      const name = names.of(code);
      if (name === undefined) continue;
      table.set(fold(name), code);
      table.set(code.toLowerCase(), code);
    }
  }
  return table;
}

/** The ISO 3166-1 alpha-2 code of a country written by code or name; null for one that no language here knows. */
export function countryOf(text: string, table: ReadonlyMap<string, string>): string | null {
  return table.get(fold(text)) ?? null;
}
