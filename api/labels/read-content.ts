// What stands on the labels of tags: the name of what each is on, and whose that is.
import type postgres from 'postgres';
import { parseTypedTag, type TagCode } from '#domain/tag-code.ts';
import type { Whose } from '#domain/thing.ts';
import type { CodeRefusal } from '../codes/code-refusal.ts';
import type { LabelContent } from './lay-out-label.ts';

interface NamedRow {
  readonly code: string;
  readonly name: string;
  readonly whose: Whose | null;
  readonly owner: string | null;
  readonly until: string | null;
}

/** Reads codes as they are written on labels; refused at the first that is no tag of ours. */
export function parseTags(
  codes: readonly string[],
): { readonly tags: readonly TagCode[] } | { readonly refusal: CodeRefusal } {
  const tags: TagCode[] = [];
  for (const code of codes) {
    const reading = parseTypedTag(code);
    if (!('tag' in reading)) return { refusal: { kind: 'not-a-tag', code } };
    tags.push(reading.tag);
  }
  return { tags };
}

const VERB_OF_WHOSE: Readonly<Record<Exclude<Whose, 'ours'>, string>> = {
  'rented-in': 'Rented in',
  borrowed: 'Borrowed',
  client: 'Client’s',
};

/** "Rented in from Alder & Reed, back 2026-12-04": what must not be mixed up with our own. */
function whoseLine({ whose, owner, until }: NamedRow): string | null {
  if (whose === null || whose === 'ours') return null;
  const from = owner === null ? '' : whose === 'client' ? `: ${owner}` : ` from ${owner}`;
  return `${VERB_OF_WHOSE[whose]}${from}${until === null ? '' : `, back ${until}`}`;
}

/** The words of each label, in the order of `tags`. A blank tag has its code only. */
export async function readContents(
  tx: postgres.ISql,
  tags: readonly TagCode[],
  choices: { readonly names: boolean; readonly contact: string | null; readonly whose: boolean },
): Promise<readonly LabelContent[]> {
  const rows = await tx<NamedRow[]>`
    select c.code, coalesce(t.name, p.name) as name, t.whose, o.name as owner,
      to_char(t.whose_until, 'YYYY-MM-DD') as until
    from code c left join thing t on t.id = c.thing_id left join place p on p.id = c.place_id
      left join place o on o.id = t.owner_place_id
    where c.until is null and c.code = any(${[...tags]})`;
  const byCode = new Map(rows.map((row) => [row.code, row]));
  return tags.map((tag) => {
    const row = byCode.get(tag);
    return {
      tag,
      name: choices.names ? (row?.name ?? null) : null,
      contact: choices.contact,
      whose: choices.whose && row !== undefined ? whoseLine(row) : null,
    };
  });
}
