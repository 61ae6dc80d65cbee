// Versions on the wire: a record's version is its ETag, and an edit names the version that it began from.

/** The ETag of a version. */
export function etagOf(version: number): string {
  return `"${version}"`;
}

/**
 * The version in an If-Match header; null when there is none. A value that is no version of ours can match nothing,
 * and reads as version -1. `*` is taken for a missing one: it would overwrite whatever is there.
 */
export function readIfMatch(header: string | undefined): number | null {
  if (header === undefined || header.trim() === '*') return null;
  const found = /^\s*(?:W\/)?"(\d{1,9})"\s*$/.exec(header);
  return found?.[1] === undefined ? -1 : Number(found[1]);
}
